-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:with { power = "250 kW" }
-- expect error: emberlap: wrong_later_power.lua:4: car.power: "power" is not yet modelled; remove it (a key is accepted only once it changes a result)
