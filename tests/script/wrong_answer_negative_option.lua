-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.rotor:cooling { speed = "-30 m/s" }
-- expect error: emberlap: wrong_answer_negative_option.lua:4: cooling.speed: -30 m/s is outside 0 m/s to 120 m/s
