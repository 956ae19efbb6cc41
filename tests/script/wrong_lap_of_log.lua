-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.lap { car = m.car, course = m.course }
-- expect error: emberlap: wrong_lap_of_log.lua:4: lap.course: a lap needs a layout: el.track reads one, and course:layout() makes one of a log
