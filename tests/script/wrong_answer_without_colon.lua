-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.rotor.cooling { speed = 30 }
-- expect error: emberlap: wrong_answer_without_colon.lua:4: cooling is called on a rotor, with a colon
