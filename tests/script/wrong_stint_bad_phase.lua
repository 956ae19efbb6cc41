-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.stint { { "out" }, { "hott", laps = 5 } }
