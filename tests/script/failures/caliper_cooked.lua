-- SPDX-License-Identifier: MIT
-- Seals and boots cooked on the stand: on track the air keeps the caliper below its limit; parked
-- straight after the last hot lap, what rotor and pads still hold soaks into it, 15 to 50 K within
-- minutes (trade estimates). Pads of metal, a third of them left, let it through. The fluid, one
-- with a high wet point, does not boil.
-- status: 1
-- expect: FAILS: front caliper passes its limit, parked,
-- expect: on track 16 K below, fluid holds
-- expect: one lap to cool down: front caliper marginal
local p = require "tests.script.modules.pedals"

local car = { fluid = { dry = "325 C", wet = "270 C" },
              front = { pad = { conductivity = "5 W/mK", thickness_now = "5 mm",
                                worn_at = "2 mm" } } }

local straight_in = p.run(car, { hot = 10, cool = 0 })
print(p.verdict(straight_in))
local caliper = straight_in.front.caliper
assert(straight_in.checks[1].name == "front caliper" and straight_in.checks[2].verdict ~= "fails")
assert(straight_in.checks[1].lap == nil) -- never on track
local soak = caliper.parked_peak - caliper.track_peak
assert(soak > 15 and soak < 50)
print(("on track %.0f K below, fluid %s"):format(200 - caliper.track_peak,
      p.check(straight_in, "front fluid").verdict))

-- the milder twin: the same laps, and one to cool down
local cooled = p.run(car, { hot = 10, cool = 1 })
print("one lap to cool down: front caliper " .. p.check(cooled, "front caliper").verdict)
assert(cooled.verdict ~= "fails")
