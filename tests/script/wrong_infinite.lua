-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { friction = { { 20, 0.4 }, { 300, 1 / 0 } } }
-- expect error: emberlap: wrong_infinite.lua:4: pad.friction[2][2]: an infinite number (a division by 0 somewhere before?)
