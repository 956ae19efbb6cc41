-- SPDX-License-Identifier: MIT
-- The car before a change: a run of its own, and what the change did by name.
-- writes: before.json
local el = require "emberlap"
local m = require "modules.package"
local larger = m.car:with { front = { caliper = { pistons = { "42 mm", "38 mm", "34 mm" } } } }
local run = el.run { car = larger, base = m.car, course = m.course, stint = m.stint }
local alone = el.run { car = m.car, course = m.course, stint = m.stint }
assert(run.base.verdict == alone.verdict and run.base.pedal.effort == alone.pedal.effort)
assert(run.base.front.fluid.peak == alone.front.fluid.peak and run.base.base == nil)
assert(run.base.plan.skip_margin == alone.plan.skip_margin)
assert(run.base == run.base)
run.base:save "before.json"
local a = run.against
-- pistons: 42, 38, 34 mm have 1.2346 times the area of 38, 34, 30 mm; the rear is unchanged
assert(a.travel > 0.02 and a.pressure < -0.08 and math.abs(a.effort - a.pressure) < 1e-9 and a.front_share > 0.01)
-- expect: AGAINST THE BASE
-- expect: on the unchanged master
-- expect: pedal effort at 1 g
print(run)
-- a base outlives the name of its run, whatever is collected meanwhile
local base = el.run { car = larger, base = m.car, course = m.course, stint = m.stint }.base
for _ = 1, 20000 do el.fluid { dry = 300, wet = 200 } end
-- expect: fine
assert(base.pedal.effort == alone.pedal.effort)
print "fine"
