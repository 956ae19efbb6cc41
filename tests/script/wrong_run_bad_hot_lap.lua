-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.run { car = m.car, course = m.course:with { hot_lap = 99 }, stint = m.stint }
-- expect error: emberlap: wrong_run_bad_hot_lap.lua:4: course.hot_lap: the log has no lap 99: its laps are 1 to 3
