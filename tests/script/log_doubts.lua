-- SPDX-License-Identifier: MIT
-- A log of half a lap, with no column of laps: a run that rests on it says so.
-- expect: all of it (0:10.000) repeated as one lap
-- expect: driven as logged; it ends at speed
-- expect note: one_lap_log.csv: doubtful: nothing tells laps apart: all of the log counts as one lap; the log ends at speed: the last stop is not in it: 36.0 km/h; line 13
local el = require "emberlap"
local m = require "modules.coupe"
local course = el.trace { file = "one_lap_log.csv" }
print(el.run { car = m.car, course = course, stint = { hot = 3, park = "5 min" } })
print(el.run { car = m.car, course = course, stint = { logged = true, park = "5 min" } })
