-- SPDX-License-Identifier: MIT
-- The question: pads half gone, and their heat goes through plate and pistons into the fluid. What
-- does a heat shield on the backing plate do, and does it matter how it is made?
--
-- Why it comes out as it does: a shield is a node of one's own with two ways for heat. One that
-- only stores is as hot as the plate within a lap and changes nothing. One with wings in the wind
-- takes heat to the air that would have gone to the piston: 60 cm2, both sides, at some 80 W/m2K
-- are 1 W/K, and at 200 K above the air that is 200 W. Joint and wings lie one after the other, so
-- more of one makes up for less of the other. One that bears on the piston beside the plate is no
-- shield but one more bridge, and the fluid gets hotter. The pad's face hardly notices any of them.
-- expect: none
-- expect: stores only
-- expect: half the wings
-- expect: wings
-- expect: twice the wings
-- expect: poor joint, more air
-- expect: touches the piston
-- expect: wings take 1
local el = require "emberlap"
local c = require "parts.coupe"

local car = c.car:with { front = { pad = { thickness_now = "8 mm" } } }
local wings = 2 * 60e-4 * 80 -- W/K: two sides, m2, W/m2K

local function drive(what, shield)
  local run = el.run { car = car:with { front = shield }, course = c.course, stint = c.stint }
  local fluid, face = run.front.fluid.peak, run.front.pad.peak
  print(("%-20s fluid %3.0f C, caliper %3.0f C, pad face %3.0f C%s"):format(what, fluid,
        run.front.caliper.peak, face, shield.nodes and
        (", shield %3.0f C"):format(run.front.nodes.shield.peak) or ""))
  assert(math.abs(run.residual) < 1e-9) -- what goes out by one's own links is accounted for
  return fluid, face, run
end

-- a sheet of 120 g that lies on the plate; W/K to the air, to the piston and from the plate
local function shield(air, piston, joint)
  local links = { { from = "pad.plate", to = "shield", conductance = joint or 6 } }
  if air then links[#links + 1] = { from = "shield", to = "ambient", conductance = air } end
  if piston then links[#links + 1] = { from = "shield", to = "piston", conductance = piston } end
  return { nodes = { { "shield", capacity = "60 J/K" } }, links = links }
end

local none, bare = drive("none", {})
local stores = drive("stores only", shield())
local half = drive("half the wings", shield(wings / 2))
local one, face, run = drive("wings", shield(wings))
local two = drive("twice the wings", shield(2 * wings))
-- a joint half as good, and wings that make up for it: from plate to air it is the same
local joint = drive("poor joint, more air", shield(1 / (1 / 6 + 1 / wings - 1 / 3), nil, 3))
local bridge = drive("touches the piston", shield(nil, "3 W/K"))
assert(math.abs(stores - none) < 2 and math.abs(joint - one) < 0.25)
assert(half < none and one < half and two < one and none - one > 12 and none - one < 24)
assert(none - one > one - two) -- each more is worth less: the plate is cooler by then
assert(bridge > none + 2 and math.abs(face - bare) < 10)
assert(wings * (run.front.nodes.shield.peak - 32) > 150)
print(("wings take %.0f K off the fluid; at their peak they carry %.0f W"):format(none - one,
      wings * (run.front.nodes.shield.peak - 32)))
