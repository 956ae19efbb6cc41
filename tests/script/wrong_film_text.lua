-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.front:with { cooling = { vanes = function(v, T) return "50" end } }
-- expect error: emberlap: wrong_film_text.lua:4: cooling.vanes: the function at 0, -23.15: gives string, not a number
