-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "no_such_log.csv", time = "Time", speed = "Speed", lap = "Lap" }
