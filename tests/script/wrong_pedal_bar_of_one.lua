-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.pedal { ratio = 5, distribution = "bar", master = { bore = "22 mm" } }
-- expect error: emberlap: wrong_pedal_bar_of_one.lua:4: pedal.distribution: a bar needs two masters, front and rear
