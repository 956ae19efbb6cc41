-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.fluid:boils_at { pressure = "40 C" }
-- expect error: emberlap: wrong_answer_option_unit.lua:4: boils_at.pressure: "40 C": "C" is a unit of temperature; a pressure takes Pa, kPa, MPa, bar, psi
