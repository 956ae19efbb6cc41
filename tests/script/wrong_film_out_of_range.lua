-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.front:with { cooling = { faces = function(v, T) return 50 - 2 * v end } }
-- expect error: emberlap: wrong_film_out_of_range.lua:4: cooling.faces: the function at 26 m/s, -23.15 C gives -2 W/m2K, outside 0 to 5000
