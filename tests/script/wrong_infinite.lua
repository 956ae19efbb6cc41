-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { friction = { { 20, 0.4 }, { 300, 1 / 0 } } }
