-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.network { nodes = { disc = { capacity = 4000 } } }:simulate { duraton = 1 }
-- expect error: emberlap: wrong_network_bad_duration.lua:3: simulate.duraton: unknown key "duraton"; did you mean "duration"?
