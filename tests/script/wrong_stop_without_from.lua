-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:stop { deceleration = 8 }
-- expect error: emberlap: wrong_stop_without_from.lua:4: stop.from: missing: "from" (speed it starts from, such as "180 km/h")
