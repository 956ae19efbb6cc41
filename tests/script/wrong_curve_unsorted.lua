-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { friction = { { 300, 0.48 }, { 20, 0.38 } } }
