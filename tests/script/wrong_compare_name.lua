-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
print(el.compare(run, run).input)
-- expect error: a comparison has no "input"; did you mean "inputs"?
