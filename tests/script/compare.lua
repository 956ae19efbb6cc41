-- SPDX-License-Identifier: MIT
-- el.compare: what was given otherwise, and what came of it.
-- expect: COMPARISON of 2 runs
-- expect: WHAT WAS GIVEN
-- expect:                                run 1           run 2
-- expect:   fluid.dry                     310 C           320 C
-- expect:   front.pad.friction
-- expect:       1: 0.38 at 20 C, 0.48 at 300 C, 0.44 at 650 C, 0.3 at 800 C
-- expect:       2: 0.4 at 20 C, 0.5 at 500 C
-- expect:   front.duct.bore               none            76 mm
-- expect: WHAT CAME OF IT
-- expect:                                 run 1           run 2           change
-- expect: front rotor, margin           82 K
-- expect: figures more are alike.
-- expect: BEFORE ANYONE DRIVES
-- expect: COMPARISON of 4 runs
-- expect:                                 run 1           run 2           run 3
-- expect:   front.caliper.mass            3.4 kg          3.4 kg          4 kg
-- expect:   event.sessions                1               1               2
-- expect: Nothing differs.
-- expect: figures are alike.
-- expect: no line is wider than 79 columns
local el = require "emberlap"
local m = require "modules.package"
local function run(car, more)
  local case = { car = car, course = m.course, stint = m.stint }
  for k, v in pairs(more or {}) do case[k] = v end
  return el.run(case)
end
local ducted = m.car:with {
  front = { duct = el.duct { bore = "76 mm", length = "1.4 m" },
            pad = { friction = { { 20, 0.4 }, { 500, 0.5 } } } },
  fluid = { dry = "320 C" },
}
local a, b = run(m.car), run(ducted)
local c = run(ducted:with { front = { caliper = { mass = "4 kg" } } }, { event = { sessions = 2 } })

local pair = el.compare(a, b)
print(pair)
local all = el.compare { a, b, c, run(m.car:with { abs = false, front = { pad = { condition = "bedded" } } }) }
print(all)

-- by name: every key that differs, and no other
local keys = {}
for _, row in ipairs(pair.inputs) do keys[row.key] = row end
assert(keys["car.fluid.dry"][1] == "310 C" and keys["car.fluid.dry"][2] == "320 C")
assert(keys["car.front.duct.bore"][1] == "none" and keys["car.front.duct.hose"] == nil)
assert(#pair.inputs == 4)
local figure = pair.figures["front rotor, margin"]
local function margin(r)
  for _, check in ipairs(r.checks) do if check.name == "front rotor" then return check.margin end end
end
assert(figure[1] == margin(a) and figure[2] == margin(b))
-- what is left out and given as its default is alike
assert(#el.compare(a, run(m.car:with { abs = false })).inputs == 0)
-- a base is none of its run's inputs
assert(#el.compare(a, run(m.car, { base = ducted })).inputs == 0)
local widest = 0
for line in (tostring(pair) .. "\n" .. tostring(all)):gmatch "[^\n]+" do widest = math.max(widest, #line) end
if widest <= 79 and widest > 60 then print "no line is wider than 79 columns" end
