-- SPDX-License-Identifier: MIT
-- Tables follow --units; numbers that scripts read do not.
-- args: --units us
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
-- expect: 3131 lb
print(run) -- 1420 kg
-- expect: 200.0
print(run.checks[1].kind and math.floor(run.front.fluid.margin_wet + run.front.fluid.peak + 0.5) / 1)
