-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.run { car = m.car, course = m.course:with { hot_lap = 99 }, stint = m.stint }
