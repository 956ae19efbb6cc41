-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.front:with { cooling = { caliper = "50 W/K" } }
-- expect error: emberlap: wrong_film_unit.lua:4: cooling.caliper: "50 W/K": "W/K" is a unit of conductance; a heat transfer coefficient takes W/m2K
