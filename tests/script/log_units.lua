-- SPDX-License-Identifier: MIT
-- Names and units of a log's columns change what a run comes to.
-- The rotors get hotter than their limit, hence the status.
-- args: --quiet
-- status: 1
local el = require "emberlap"
local m = require "modules.coupe"
local function peak(course)
  return el.run { car = m.car, course = course, stint = m.stint }.front.rotor.core.peak
end

-- heights in feet are flatter than the same in metres
local metres = el.trace { file = "rough_log.csv", start_line = { 12.5, -34.25 } }
local feet = metres:with { altitude_unit = "ft" }
assert(math.abs(peak(metres) - peak(feet)) > 0.5)

-- no speed: from distance, whose unit matters
local run = el.trace { file = "distance_log.csv", distance = "Run" }
local feet_run = run:with { distance_unit = "ft" }
assert(peak(run) - peak(feet_run) > 50)

-- no speed: from positions; minutes of arc are a sixtieth of the way
local placed = el.trace { file = "places_log.csv", latitude = "Lat", longitude = "Lon" }
local minutes = placed:with { latitude_unit = "min", longitude_unit = "min" }
assert(math.abs(peak(placed) - peak(el.trace { file = "rough_log.csv" })) < 20)
assert(peak(placed) - peak(minutes) > 50)

-- pressure says when and how hard the brakes were on
local plain = el.trace { file = "pressure_log.csv" }
local pressed = plain:with { pressure_front = "Line 1", pressure_front_unit = "bar" }
local both = pressed:with { pressure_rear = "Line 2", pressure_rear_unit = "bar" }
assert(peak(plain) ~= peak(pressed))
assert(math.abs(peak(plain) - peak(pressed)) < 40)
assert(peak(both) > 100)
-- expect: every unit counts
print "every unit counts"
