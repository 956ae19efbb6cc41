-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:balance { speed = -1 }
-- expect error: emberlap: wrong_balance_negative.lua:4: balance.speed: -1 m/s is outside 0 m/s to 120 m/s
