-- SPDX-License-Identifier: MIT
-- The pedal gets longer over several laps while the car still stops: worn pads let the heat
-- through to old fluid. Pads and rotors are inside their limits.
-- status: 1
-- expect: FAILS: front fluid passes its boiling point as it is now on lap 10 (hot lap 9)
-- expect: pad holds, rotor holds
-- expect: new pads: front fluid marginal
local f = require "tests.script.modules.failures"
local el = require "emberlap"
local old = { fluid = el.fluid { grade = "DOT 4", water = "4 %" } }
local stint = { hot = 12, cool = 2 }
local worn = f.run({ fluid = old.fluid,
                     front = { pad = { thickness_now = "4 mm", worn_at = "2 mm" } } }, stint)
print(f.verdict(worn))
for i = 3, 13 do -- it creeps up lap by lap
  local rise = worn.laps[i].front.fluid - worn.laps[i - 1].front.fluid
  assert(rise > 2 and rise < 30)
end
local pad, rotor = f.check(worn, "front pad"), f.check(worn, "front rotor")
print("pad " .. pad.verdict .. ", rotor " .. rotor.verdict)

-- the milder twin: the same fluid behind new pads
local new = f.run({ fluid = old.fluid, front = { pad = { thickness_now = "16 mm" } } }, stint)
print("new pads: front fluid " .. f.check(new, "front fluid").verdict)
assert(new.front.fluid.boils_on_lap == nil and new.front.fluid.boils_parked == nil)
