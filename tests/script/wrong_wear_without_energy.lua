-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
require "modules.coupe".pad:wear { temperature = 300 }
-- expect error: emberlap: wrong_wear_without_energy.lua:4: wear.energy: missing: "energy" (friction energy of one wheel, a number in J: 2 MJ is 2e6)
