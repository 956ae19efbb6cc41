-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.run { car = m.car, stint = m.stint }
