-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.run { car = m.car, course = { file = "small_log.csv" }, stint = m.stint }
