-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:with { power = "250 kW", gearing = { driven = "front", ratios = { 3.2, 2.1, 1.5 }, final = 3.9 } }
-- expect error: emberlap: wrong_gearing_without_torque.lua:4: gearing.torque: missing: torque, ratios and final make a pull only together
