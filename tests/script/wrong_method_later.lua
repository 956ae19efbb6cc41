-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.fluid:boils_at { water = "3 %" }
-- expect error: emberlap: wrong_method_later.lua:4: fluid:boils_at is not yet modelled
