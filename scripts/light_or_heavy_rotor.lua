-- SPDX-License-Identifier: MIT
-- The question: light two-piece front rotors or heavy one-piece ones? What does each weigh, cost
-- and leave, in a sprint and over a long stint?
--
-- Why it comes out as it does: in a stop heat has no time to leave, so the rise goes with energy
-- over heat capacity, and in a sprint the cores stand above the air nearly as 9.4 kg to 7.4. Over a
-- long stint what comes in has to go out; the mean settles where the surface sheds it, which
-- weight does not change, and the two come closer. They never meet: each stop is still its own
-- rise. The cast hat is iron in one piece with the ring, and gets hotter than one of aluminium on
-- bobbins; that heat goes to the hub.
-- expect: light    12.6    6.6   1040
-- expect: heavy    16.3    7.8    380
-- expect: a rotor of 3.7 kg more
-- expect: core above the air, light over heavy
-- expect: what its weight buys
local el = require "emberlap"
local c = require "parts.coupe"

local sprint, long = 3, 24
local rotors = {
  light = el.rotor { diameter = "355 mm", thickness = "32 mm", ring_mass = "7.4 kg",
                     hat_mass = "0.9 kg", construction = "two-piece", vanes = 48, cost = 520 },
  heavy = el.rotor { diameter = "355 mm", thickness = "36 mm", ring_mass = "9.4 kg",
                     hat_mass = "2.6 kg", construction = "one-piece", vanes = 48, cost = 190 },
}

print(("      a wheel  turns  parts | %13d hot laps | %13d hot laps"):format(sprint, long))
print "           kg     kg        | core hat fluid margin | core hat fluid margin"
local function drive(name, hot)
  return el.run { car = c.car:with { front = { rotor = rotors[name] } }, course = c.course,
                  stint = c.stint:with { hot = hot } }
end
local runs = {}
for _, name in ipairs { "light", "heavy" } do
  local a, b = drive(name, sprint), drive(name, long)
  runs[name] = { a, b }
  local line = ("%s    %4.1f %6.1f %6.0f"):format(name, a.mass.front, a.mass.equivalent,
                                                  a.cost.parts)
  for _, run in ipairs { a, b } do
    line = line .. (" | %4.0f %3.0f %5.0f %4.0f K"):format(run.front.rotor.core.peak,
           run.front.rotor.hat.peak, run.front.fluid.peak, run.front.fluid.margin)
  end
  print(line)
end

local light, heavy = runs.light, runs.heavy
local kg = heavy[1].mass.front - light[1].mass.front
assert(math.abs(kg - (9.4 + 2.6 - 7.4 - 0.9)) < 1e-9)
print(("a rotor of %.1f kg more"):format(kg))
local function ratio(i)
  return (light[i].front.rotor.core.peak - 32) / (heavy[i].front.rotor.core.peak - 32)
end
print(("core above the air, light over heavy: %.2f in the sprint, %.2f in the long one"):format(
      ratio(1), ratio(2)))
assert(ratio(1) > 1.15 and ratio(1) < 9.4 / 7.4 and ratio(2) > 1.05 and ratio(2) < ratio(1) - 0.03)
assert(heavy[1].front.rotor.hat.peak > light[1].front.rotor.hat.peak + 20)
print(("what its weight buys over the long stint: %.0f K at the fluid"):format(
      heavy[2].front.fluid.margin - light[2].front.fluid.margin))
