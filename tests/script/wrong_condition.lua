-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { condition = "burnt" }
-- expect error: emberlap: wrong_condition.lua:4: pad.condition: "burnt" is not one of "bedded", "green", "glazed"
