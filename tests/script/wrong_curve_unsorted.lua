-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { friction = { { 300, 0.48 }, { 20, 0.38 } } }
-- expect error: emberlap: wrong_curve_unsorted.lua:4: pad.friction[2]: the first value must rise from pair to pair; 20 C comes after 300 C
