-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.run { car = m.car, course = { file = "small_log.csv" }, stint = m.stint }
-- expect error: emberlap: wrong_run_plain_course.lua:4: run.course: a course is made by el.trace, which reads its log
