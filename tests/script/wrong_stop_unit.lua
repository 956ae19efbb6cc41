-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:stop { from = "20 bar" }
-- expect error: emberlap: wrong_stop_unit.lua:4: stop.from: "20 bar": "bar" is a unit of pressure; a speed takes
