-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.fluid:boils_at { water = "3 %" }
