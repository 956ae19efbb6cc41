-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:balance { sped = 20 }
-- expect error: emberlap: wrong_balance_option.lua:4: balance.sped: unknown key "sped"; did you mean "speed"?
