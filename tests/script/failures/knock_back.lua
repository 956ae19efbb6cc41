-- SPDX-License-Identifier: MIT
-- A long first application after a kerb, short after a dab: pads knocked back. It is told apart
-- from boiled fluid by what the pedal's stroke goes to. A gap of 0.3 mm at every pad takes
-- 4 A gap of fluid for an axle (two pads at two wheels, A of one side), and that over the area of
-- its master is stroke; the bar weighs the strokes of both masters by their share of its force,
-- and the pedal's pad travels its ratio times that: 46 mm on top of some 40.
-- status: 1
-- expect: kerb: past the 80 mm that the trade calls bad; fluid holds, no vapour
-- expect: knocked back by 0.3 mm
-- expect: without: 46.2 mm less
-- expect: boiled: front fluid fails on lap 8; its vapour takes the whole stroke, travel without it holds
local p = require "tests.script.modules.pedals"

-- square millimetres, of one side of a caliper and of a master
local function area(...)
  local sum = 0
  for _, d in ipairs { ... } do sum = sum + math.pi / 4 * d ^ 2 end
  return sum
end
local front = 4 * area(38, 34, 30) * 0.3 / area(19.05)
local rear = 4 * area(34, 30) * 0.3 / area(22.2)
local adds = 5.2 * (0.59 * front + 0.41 * rear) -- mm at the pad

local function knocked(gap) return { pedal = { knock_back = gap } } end
local kerb = p.run(knocked "0.3 mm")
assert(kerb.front.fluid.vapour == 0 and not p.page(kerb):match "vapour %d+ %%")
assert(kerb.front.fluid.peak < 155) -- cool: 50 K and more below its wet point
if 1000 * kerb.pedal.travel > 80 then
  print(("kerb: past the 80 mm that the trade calls bad; fluid %s, no vapour"):format(
        p.check(kerb, "front fluid").verdict))
end
print(p.page(kerb):match "knocked back by 0.3 mm")

-- the milder twin: nothing knocks the pads back
local calm = p.run()
local less = 1000 * (kerb.pedal.travel - calm.pedal.travel)
assert(math.abs(less - adds) < 0.01)
assert(math.abs(1000 * calm.pedal.knock_back - adds) < 0.01) -- named before it happens
assert(calm.verdict ~= "fails" and p.check(calm, "car pedal travel").verdict == "holds")
print(("without: %.1f mm less"):format(less))

-- the other long pedal: old fluid behind worn pads. It goes by the temperature and it stays.
local boiled = p.run({ fluid = { dry = "230 C", wet = "155 C", water = "4 %" },
                       front = { pad = { thickness_now = "3 mm", worn_at = "2 mm" } } },
                     { hot = 12, cool = 0 })
local fluid = p.check(boiled, "front fluid")
assert(boiled.front.fluid.vapour > 0 and boiled.pedal.with_vapour > 1)
print(("boiled: %s %s on lap %d; its vapour takes the whole stroke, travel without it %s"):format(
      fluid.name, fluid.verdict, fluid.lap, p.check(boiled, "car pedal travel").verdict))
assert(boiled.pedal.travel < kerb.pedal.travel)
assert(math.abs(1000 * boiled.pedal.knock_back - adds) < 0.01)
