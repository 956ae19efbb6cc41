-- SPDX-License-Identifier: MIT
-- A stop and the balance of a car, without a course.
local el = require "emberlap"
local m = require "modules.package"
local function near(a, b, share) return math.abs(a - b) <= share * math.abs(b) end
local function keys(t)
  local list = {}
  for k in pairs(t) do list[#list + 1] = k end
  return table.concat(list, " ")
end

local stop = m.car:stop { from = "180 km/h", to = "36 km/h", deceleration = "8 m/s2" }
-- expect: brake_energy distance effort first_to_lock kinetic_energy pressure time travel
print(keys(stop))
-- expect: front rear
print(keys(stop.pressure))
-- 50 to 10 m/s at 8 m/s2: 5 s, (2500 - 100) / 16 = 150 m; 1/2 1420 x 1.04 x 2400 J
assert(near(stop.time, 5, 1e-12) and near(stop.distance, 150, 1e-12))
assert(near(stop.kinetic_energy, 0.5 * 1420 * 1.04 * 2400, 1e-12))
assert(stop.brake_energy < stop.kinetic_energy and stop.brake_energy > 0.8 * stop.kinetic_energy)
assert(near(stop.pressure.front, stop.effort * 5.2 * 0.95 * 0.66 / (math.pi / 4 * 0.020 ^ 2), 1e-9))

-- as hard as no wheel locks
local free = m.car:stop { from = "180 km/h" }
local b = m.car:balance { speed = 0 }
-- expect: bite first_to_lock front grip ideal lock_deceleration turns
print(keys(b))
assert(near(free.distance, 2500 / (2 * b.lock_deceleration), 0.02))
assert(free.first_to_lock == b.first_to_lock)

-- glazed pads ask for more pressure, a full car for more, thin air changes the drag
local hot = m.car:stop { from = 50, deceleration = 8, temperature = "700 C" }
local warm = m.car:stop { from = 50, deceleration = 8, temperature = "300 C" }
assert(hot.pressure.front > warm.pressure.front and hot.brake_energy == warm.brake_energy)
assert(m.car:stop { from = 50, deceleration = 8, fuel = "40 kg" }.kinetic_energy >
       warm.kinetic_energy)
assert(m.car:stop { from = 50, deceleration = 8, altitude = "2000 m" }.brake_energy >
       warm.brake_energy)
assert(m.car:stop { from = 50, deceleration = 8, ambient = "40 C" }.brake_energy >
       warm.brake_energy)

-- without a pedal there is no effort, without grip no lock
local bare = require "modules.coupe".car
-- expect: brake_energy distance kinetic_energy pressure time
print(keys(bare:stop { from = 50, deceleration = 8 }))
-- expect: front ideal
print(keys(bare:balance()))
assert(bare:stop { from = 50, deceleration = 8 }.effort == nil)
assert(m.car:balance { deceleration = 12 }.ideal > m.car:balance { deceleration = 6 }.ideal)

-- 1 MJ at 50 mm3/MJ is 50 mm3; on two pads of 62 cm2 that is 50 / 12400 mm; hot it is more
local pad = require "modules.coupe".pad:with { wear = "50 mm3/MJ", wear_onset = "500 C" }
assert(near(pad:wear { energy = 1e6, temperature = "200 C" }, 50e-9 / (2 * 62e-4), 1e-9))
assert(pad:wear { energy = 1e6, temperature = "690 C" } > 1.2 * pad:wear { energy = 1e6 })
print(pcall(m.car.stop, m.car, { form = 50 }))
-- expect: stop.form: unknown key "form"; did you mean "from"?
print(pcall(function() return stop.distanse end))
-- expect: stop has no "distanse"; did you mean "distance"?
