-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.stint { { "out" }, { "hott", laps = 5 } }
-- expect error: emberlap: wrong_stint_bad_phase.lua:3: stint[2][1]: "hott" is not one of "out", "hot", "traffic", "cool", "in", "park", "logged"; did you mean "hot"?
