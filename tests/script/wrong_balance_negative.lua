-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:balance { speed = -1 }
-- expect error: emberlap: wrong_balance_negative.lua:4: balance.speed: -1 is below 0
