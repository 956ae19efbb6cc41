-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.stint { park = "10 min" }
-- expect error: emberlap: wrong_stint_without_laps.lua:3: stint.hot: missing: how many laps are driven, as hot = 12
