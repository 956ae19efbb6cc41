-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.stint { { "out" }, { "hot", laps = 5 }, hot = 12 }
-- expect error: emberlap: wrong_stint_both_forms.lua:3: stint.hot: a stint is either a list of phases or out, hot, cool and park
