-- SPDX-License-Identifier: MIT
-- A check compiles its runs: a lap that is not in the log is found.
-- command: check
-- expect error: course.hot_lap: the log has no lap 99
local el = require "emberlap"
local m = require "modules.coupe"
el.run { car = m.car, course = m.course:with { hot_lap = 99 }, stint = m.stint }
