-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
local run = el.run { car = m.car, base = m.car, course = m.course, stint = m.stint }
el.compare(run, run.base)
-- expect error: wrong_compare_base.lua:5: compare[2]: the base of a run keeps no inputs: run that car with el.run
