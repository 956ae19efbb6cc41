-- SPDX-License-Identifier: MIT
-- Names of a result that are not heat, and that they agree with each other.
local el = require "emberlap"
local m = require "modules.package"
local run = el.run { car = m.car, course = m.course, stint = m.stint,
                     event = { sessions = 3, labour_rate = 60 }, limits = { pressure = "150 bar" } }
local function near(a, b) return math.abs(a - b) <= 1e-9 * math.abs(b) end
local names = {}
for _, c in ipairs(run.checks) do names[c.name] = c end

local p = run.pedal
assert(p.pressure > 1e5 and p.rear_pressure > 1e5)
-- two masters divide the rod's force: pressures as force over area
assert(near(p.rear_pressure / p.pressure, 0.34 / 0.66 * (20 / 17.8) ^ 2))
-- effort x ratio x efficiency x share over the area of the front master
assert(near(p.pressure, p.effort * 5.2 * 0.95 * 0.66 / (math.pi / 4 * 0.020 ^ 2)))
assert(near(p.panic.front / 1330, p.pressure / p.effort))
assert(p.travel > 0.01 and p.travel < 0.2 and near(p.reserve, 1 - p.used))
assert(p.knock_back > 0 and p.shortfall == 0 and p.shortfall_on_lap == nil and p.run_out == nil)
assert(names["car pedal effort"].peak == p.effort and names["car pedal effort"].limit == 700)
assert(names["car pedal effort"].axle == "car" and names["rear panic pressure"].limit == 1.5e7)
-- expect: pedal agrees
print "pedal agrees"

local b = run.balance
assert(b.front > 0.5 and b.front < 1 and b.ideal > 0.5 and b.ideal < 1 and b.bite > 0 and b.bite <= 1)
assert(b.first_to_lock == "front" or b.first_to_lock == "rear")
assert(near(b.grip, b.lock_deceleration)) -- no ABS
assert(names["car grip"].peak == b.asked and names["car balance"].peak == b.ahead)
assert(math.type(b.turns) == "float")
-- expect: balance agrees
print "balance agrees"

for _, axle in ipairs { run.front, run.rear, run.front.left } do
  assert(axle.pad.left < 0.011 and axle.pad.left_event < axle.pad.left)
  assert(near((0.011 - axle.pad.left) * 3, 0.011 - axle.pad.left_event))
  assert(axle.pad.sessions > 3 and axle.pad.sets == 1 and axle.rotor.stress > 0)
  assert(axle.rotor.cycles >= 0 and axle.rotor.crack >= 0)
end
assert(run.front.rotor.left_event < 0.032 and run.front.rotor.sessions > 3)
assert(run.rear.rotor.sessions == math.huge) -- no minimum was given
assert(names["front rotor wear"].peak == run.front.rotor.left_event)
assert(names["rear rotor wear"] == nil)
-- expect: life agrees
print "life agrees"

-- both axles, two wheels each
assert(near(run.mass.unsprung, 2 * (run.mass.front + run.mass.rear)) and run.mass.equivalent > 0)
-- two rotors, a set of pads, the masters, half a litre
assert(near(run.cost.parts, 2 * 220 + 240 + 180 + 15))
-- 1 h, 90 min and 45 min at 60 an hour
assert(near(run.cost.labour, 60 + 90 + 45) and run.cost.event > 0)
-- expect: money agrees
print "money agrees"

local plan = run.plan
assert(plan == run.plan) -- found once
assert(plan.skip_margin < run.front.fluid.margin + 50)
assert(plan.worst.verdict == "holds" or plan.worst.verdict == "marginal" or plan.worst.verdict == "fails")
assert(type(plan.worst.check) == "string" and math.type(plan.worst.margin) == "float")
assert(plan.cool == nil or plan.cool >= 0)
assert(run.base == nil and run.against == nil)
-- expect: no base
print "no base"
