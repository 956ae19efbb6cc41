-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { friction = function(T) return 0.4 end }
-- expect error: emberlap: wrong_function_as_law.lua:4: pad.friction: functions as laws are not yet modelled; give a number or a table
