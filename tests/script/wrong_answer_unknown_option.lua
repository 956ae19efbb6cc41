-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.rotor:cooling { speeed = 30 }
-- expect error: emberlap: wrong_answer_unknown_option.lua:4: cooling.speeed: unknown key "speeed"; did you mean "speed"?
