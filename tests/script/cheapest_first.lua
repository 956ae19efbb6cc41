-- SPDX-License-Identifier: MIT
-- The script that looks for the cheapest change: the figures of its answer are added up here by
-- hand, and nothing in it may be left out.
-- status: 1
-- expect: change     price    kg
-- expect: as it is       0  +0.0  front fluid -27 K                  fails    -
-- expect: fluid         95  +0.0  front fluid -27 K to 16 K          fails    yes
-- expect: then balance -
-- expect: pads         575  +0.5
-- expect: then front rotor -
-- expect: ducts        580  +2.2
-- expect: rotors       930  +2.8
-- expect: calipers    2725  +1.0
-- expect: ANSWER: fluid + ducts for 675 (parts 315, labour 360), +2.2 kg: it holds
-- expect: no line is wider than 79 columns
-- expect: the dearer fluid by itself: fails
-- expect: without fluid: fails
-- expect: without ducts: fails
local widest = 0
local plain = print
function print(...)
  widest = math.max(widest, #tostring((...)))
  plain(...)
end

local found = require "scripts.cheapest_first"
assert(widest > 60)
if widest <= 79 then print "no line is wider than 79 columns" end

local function near(got, want) return math.abs(got - want) < 1e-6 end

-- half a litre at 70 and 0.8 h; ducts at 280 and 4 h; an hour at 75
local rate = 75
assert(near(found.answer.parts, 0.5 * 70 + 280))
assert(near(found.answer.labour, (0.8 + 4) * rate))
-- two ducts of 1.1 kg
assert(near(found.answer.unsprung - found.stock.unsprung, 2 * 1.1))
assert(found.answer.verdict == "holds" and found.mix == found.ladder)

local kept = {}
for _, step in ipairs(found.steps) do kept[#kept + 1] = step.kept and step.name or nil end
assert(table.concat(kept, " ") == "fluid ducts")

-- a better fluid mends the fluid and nothing else: the answer is no foregone one
local bit = {}
for _, item in ipairs(found.shelf) do bit[item.name] = item.bit end
local fluid = found.steps[1]
assert(fluid.name == "fluid" and fluid.check == "front fluid")
assert(fluid.before < 0 and fluid.after > 0)
print("the dearer fluid by itself: " .. found.try(bit.fluid).verdict)

-- each of the two is needed
for _, name in ipairs { "fluid", "ducts" } do
  assert(found.mix & bit[name] ~= 0)
  print(("without %s: %s"):format(name, found.try(found.mix & ~bit[name]).verdict))
end

-- and what was put back did not help: each by itself leaves the car failing
for _, name in ipairs { "masters", "pads", "calipers" } do
  assert(found.try(bit[name]).verdict == "fails")
end
