-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:stop { from = 20, to = 30 }
-- expect error: emberlap: wrong_stop_to_above_from.lua:4: stop.to: 30 m/s is not below the 20 m/s it starts from
