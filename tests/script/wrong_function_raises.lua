-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { friction = function(T) error "no curve here" end }
-- expect error: emberlap: wrong_function_raises.lua:4: pad.friction: the function at 0: wrong_function_raises.lua:4: no curve here
