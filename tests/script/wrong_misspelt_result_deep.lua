-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
local margin = run.front.fluid.margn_wet
-- expect error: emberlap: wrong_misspelt_result_deep.lua:5: run.front.fluid has no "margn_wet"; did you mean "margin_wet"?
