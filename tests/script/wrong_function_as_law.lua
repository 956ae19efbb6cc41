-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { friction = function(T) return "much" end }
-- expect error: emberlap: wrong_function_as_law.lua:4: pad.friction: the function at 0: gives string, not a number
