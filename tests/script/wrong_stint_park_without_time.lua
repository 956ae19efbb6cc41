-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.stint { { "out" }, { "park" } }
-- expect error: emberlap: wrong_stint_park_without_time.lua:3: stint[2].time: missing: how long the car is parked, as "10 min"
