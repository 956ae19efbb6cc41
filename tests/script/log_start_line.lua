-- SPDX-License-Identifier: MIT
-- A start line makes laps of a log that has no lap numbers: without it there is no lap 2.
-- args: --quiet
local el = require "emberlap"
local m = require "modules.coupe"
local course = el.trace { file = "rough_log.csv", time = "Time", speed = "Velocity",
                          latitude = "Lat", longitude = "Lon", start_line = { 12.5, -34.25 } }
local run = el.run { car = m.car, course = course:with { hot_lap = 1 }, stint = m.stint }
-- expect: 37.0 s
print(string.format("%.1f s", run.laps[2].time))
local ok, why = pcall(function()
  local whole = el.trace { file = "rough_log.csv", hot_lap = 2 }
  return el.run { car = m.car, course = whole, stint = m.stint }.laps
end)
-- expect: false the log has no lap 2
print(tostring(ok) .. " " .. why:match "the log has no lap %d")
