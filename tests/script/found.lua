-- SPDX-License-Identifier: MIT
-- What an inspection found forbids "holds", whatever the figures are.
-- status: 1
-- expect note: a limit is passed in 1 of 2 runs; the worst: inspection, crack and soft pedal found
local el = require "emberlap"
local m = require "modules.coupe"
local wide = m.car:with { front = { pad = { window = { 20, 1100 } } },
                          rear = { pad = { window = { 20, 1100 } } } }
local clean = el.run { car = wide, course = m.course, stint = m.stint }
local found = el.run { car = wide:with { found = { "crack", "soft pedal" } }, course = m.course,
                       stint = m.stint }
-- expect: holds	fails
print(clean.verdict, found.verdict)
-- expect: car inspection	fails	2
for _, c in ipairs(found.checks) do
  if c.kind == "inspection" then print(c.name, c.verdict, math.tointeger(c.peak)) end
end
-- expect: FAILS: crack and soft pedal found: stop; no figure replaces an inspection
print(found)
