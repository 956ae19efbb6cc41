-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.rotor:cooling { speed = 30, duct = m.fluid }
-- expect error: emberlap: wrong_answer_no_duct.lua:4: cooling.duct: expected a duct, found a fluid
