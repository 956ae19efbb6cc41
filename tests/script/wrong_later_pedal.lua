-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local quick = m.car:with { pedal = { ratio = 5.2 } }
