-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.duct { bore = "76 mm", length = "1.2 m", aim = "calliper" }
-- expect error: emberlap: wrong_duct_aim.lua:3: duct.aim: "calliper" is not one of "eye", "open eye", "face", "caliper"; did you mean "caliper"?
