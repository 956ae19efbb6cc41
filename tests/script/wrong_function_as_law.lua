-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { friction = function(T) return 0.4 end }
