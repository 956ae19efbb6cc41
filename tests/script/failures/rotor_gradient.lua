-- SPDX-License-Identifier: MIT
-- Cracks come from the gradient, not from the level: a heavy car on a light ring, one hot lap.
-- status: 1
-- expect: FAILS: front rotor gradient passes what cracks iron on lap 2
-- expect: core 120 K or more below its limit
-- expect: a deeper, heavier ring: front gradient marginal
local f = require "tests.script.modules.failures"
local car = { mass = "2000 kg", front = {
  rotor = { diameter = "340 mm", ring_mass = "5.8 kg", ring_height = "42 mm" },
  pad = { height = "40 mm", area = "50 cm2" } } }
local light = f.run(car, { hot = 1 })
print(f.verdict(light))
assert(light.checks[1].name == "front gradient" and light.checks[1].verdict == "fails")
assert(f.check(light, "front pad").verdict ~= "fails")
if f.check(light, "front rotor").margin >= 120 then print "core 120 K or more below its limit" end

-- the milder twin: the same car, more iron under wider pads
local heavy = f.run({ mass = "2000 kg" }, { hot = 1 })
local check = f.check(heavy, "front gradient")
print("a deeper, heavier ring: " .. check.name .. " " .. check.verdict)
assert(check.margin > 0 and check.peak < f.check(light, "front gradient").peak)
