-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { pressure_effect = function(p) return p / p end }
-- expect error: emberlap: wrong_function_no_number.lua:4: pad.pressure_effect: the function at 0: gives no finite number
