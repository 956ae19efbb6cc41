-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.run { car = m.car, stint = m.stint }
-- expect error: emberlap: wrong_run_without_course.lua:4: run.course: missing: "course" (the course, made by el.trace)
