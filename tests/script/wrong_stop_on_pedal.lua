-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car.stop(m.pedal, { from = 20 })
-- expect error: emberlap: wrong_stop_on_pedal.lua:4: stop is called on a car, with a colon
