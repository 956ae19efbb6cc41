-- SPDX-License-Identifier: MIT
-- A log with positions as a layout that another car drives, and the log scaled to that car.
-- writes: course.yaml
-- status: 1
local el = require "emberlap"
local m = require "modules.package"
local car = m.car:with { power = "230 kW" }
local course = el.trace { file = "rough_log.csv", time = "Time", speed = "Velocity", of = car,
                          latitude = "Lat", longitude = "Lon", start_line = { 12.5, -34.25 } }
local layout = course:layout()
layout:save "course.yaml"
assert(layout:layout() == layout)

-- a circle of 240 m, up on one side and down on the other
local lap = el.lap { car = car, course = layout }
-- expect: 1510 m
print(("%.0f m"):format(lap.length))
assert(el.lap { car = car:with { tyre = { grip = 1.1 } }, course = layout }.time > lap.time)
assert(el.lap { car = car, course = course:layout { lap = 1 } }.length > 1500)

-- the log itself, as cars of other mass and power would have driven it
local function time(by)
  local run = el.run { car = by, course = course:driven_by(by), stint = { hot = 1 } }
  return run.laps[1].time
end
local same = time(car)
local logged = el.run { car = car, course = course, stint = { hot = 1 } }.laps[1].time
assert(math.abs(same - logged) < 1e-3 * logged)
assert(time(car:with { tyre = { grip = 1.0 } }) > same)
-- expect: done
print "done"
