-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { friction = function(T) return T < 500 and 0.4 or 3 end }
-- expect error: emberlap: wrong_function_out_of_range.lua:4: pad.friction[33][2]: 3 is outside 0.02 to 1.2
