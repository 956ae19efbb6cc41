-- SPDX-License-Identifier: MIT
-- Changes results, calls methods on what is none, and feeds results back in as parts.
-- engine: 3
-- expect: refused
local m = require "modules.coupe"
local el = require "emberlap"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
local function refused(f, ...) assert(not pcall(f, ...)) end
refused(function() run.verdict = "holds" end)
refused(function() run.front.fluid.new = 1 end)
refused(function() return run.no_such_name end)
refused(setmetatable, run, {})
refused(setmetatable, run.front, {})
refused(rawset, run, "verdict", "holds")
refused(rawget, run, "verdict")
refused(next, run)
assert(getmetatable(run) == false and getmetatable(run.front) == false)
refused(run.save, {}) refused(run.save) refused(run.save, run) refused(run.save, run, {})
refused(m.car.with, run, {}) refused(m.car.stop, m.fluid, {}) refused(m.fluid.boils_at, run)
refused(el.run, run) refused(el.run, { car = run, course = run, stint = run })
refused(el.car, run) refused(el.car, { front = run }) refused(el.car, { front = run.front })
refused(el.run, { car = m.car, course = m.course, stint = m.stint, base = run })
for _ = 1, 100 do local _ = tostring(run) end
print "refused"
