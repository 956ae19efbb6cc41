-- SPDX-License-Identifier: MIT
-- A limit that is passed is exit status 1, and said on standard error.
-- expect: fails	front rotor	fails
-- status: 1
-- expect note: a limit is passed in 1 of 2 runs; the worst: front rotor
local el = require "emberlap"
local m = require "modules.coupe"
local wide = m.car:with { front = { pad = { window = { 20, 1100 } } },
                          rear = { pad = { window = { 20, 1100 } } } }
local holds = el.run { car = wide, course = m.course, stint = m.stint, limits = { rotor = 1000 } }
assert(holds.verdict == "holds")
local run = el.run { car = wide, course = m.course, stint = m.stint,
                     limits = { rotor = "100 C", rotor_band = 0 } }
print(run.verdict, run.checks[1].name, run.checks[1].verdict)
assert(run.checks[1].lap == 1 and run.checks[1].margin < 0)
