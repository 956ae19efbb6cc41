-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
print(run.pedal.efort)
-- expect error: emberlap: wrong_misspelt_pedal.lua:5: run.pedal has no "efort"; did you mean "effort"?
