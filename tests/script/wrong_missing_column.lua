-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "small_log.csv", time = "Time", speed = "Speeed", lap = "Lap" }
