-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.car:stop { from = "200 km/h" }
-- expect error: emberlap: wrong_method_later.lua:4: car:stop is not yet modelled
