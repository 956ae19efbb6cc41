-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
print(run.plan.col)
-- expect error: emberlap: wrong_misspelt_plan.lua:5: run.plan has no "col"; did you mean "cool"?
