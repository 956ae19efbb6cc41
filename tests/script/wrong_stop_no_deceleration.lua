-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:stop { from = 20, deceleration = 0 }
-- expect error: emberlap: wrong_stop_no_deceleration.lua:4: stop.deceleration: 0 m/s2 is outside 0.1 m/s2 to 60 m/s2
