-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
require "modules.coupe".car:stop { from = 50 }
-- expect error: emberlap: wrong_stop_without_deceleration.lua:4: stop.deceleration: missing: how hard, such as "0.9 g", or tyre.grip of the car
