-- SPDX-License-Identifier: MIT
-- A layout, its laps, and what runs and sweeps make of them.
-- writes: again.yaml
-- status: 1
local el = require "emberlap"
local m = require "modules.package"
local car = m.car:with { power = "230 kW" }
local track = el.track "tracks/nettlewick_club.yaml"
local stint = el.stint { out = 1, hot = 3, cool = 1, park = "5 min" }

local lap = el.lap { car = car, course = track }
local held = lap.held
local sum = held.corners + held.power + held.traction + held.tyres + held.brakes
-- expect: Nettlewick Club 2 splits, held adds up
print(("%s %d splits, %s"):format(lap.course, #lap.splits,
  math.abs(sum - lap.time) < 1e-6 and "held adds up" or "held is " .. sum .. " of " .. lap.time))
assert(lap.splits[1] < lap.splits[2] and lap.splits[2] < lap.time)
assert(lap.length > 1600 and lap.length < 1700)
assert(lap.top_speed > 30 and lap.lost_to_brakes >= 0)

-- a careful driver is slower, in each of his ways
for _, driver in ipairs { { corner = 0.8 }, { brake = 0.6 }, { power = 0.7 }, { early = "20 m" } } do
  assert(el.lap { car = car, course = track:with { driver = driver } }.time > lap.time)
end
-- so is one with more fuel, in thinner air and on colder pads that brake less, never faster
assert(el.lap { car = car, course = track, fuel = "60 kg" }.time > lap.time)

-- laps of the stint itself, brakes in the loop
local run = el.run { car = car, course = track, stint = stint }
assert(#run.laps == 5 and run.laps[2].lost_to_brakes >= 0)
-- expect: each lap worked out for this car and
print(run)

-- of: one lap of that car, whoever drives; the lap's own trace is the same course
local frozen = el.run { car = car, course = track:with { of = car }, stint = stint }
local traced = el.run { car = car, course = lap.trace, stint = stint }
assert(frozen.laps[3].time == frozen.laps[2].time and frozen.laps[2].time == lap.time)
assert(traced.energy == frozen.energy)
-- expect: one lap worked out
print(frozen)

-- sweeps freeze the first row's lap, or work out each row's own
local function sweep(relap)
  return el.sweep {
    over = { power = { "180 kW", "230 kW", "300 kW" } }, relap = relap, measures = { "energy" },
    case = function(x)
      return { car = car:with { power = x.power }, course = track, stint = stint }
    end,
  }
end
local one, own = sweep(false), sweep(true)
assert(one[1].energy == one[3].energy)
assert(own[1].energy == one[1].energy and own[3].energy > own[2].energy)
-- expect note: sweep: Nettlewick Club: all rows drive one lap of
-- expect note: sweep: 3 laps worked out, each by its row's own car

-- written and read again it is the same course
track:save "again.yaml"
-- expect: done
print "done"
