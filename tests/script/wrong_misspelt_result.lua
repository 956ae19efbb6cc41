-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
local margin = run.front.flud.margin
-- expect error: emberlap: wrong_misspelt_result.lua:5: run.front has no "flud"; did you mean "fluid"?
