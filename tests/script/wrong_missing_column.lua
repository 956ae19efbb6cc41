-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "small_log.csv", time = "Time", speed = "Speeed", lap = "Lap" }
-- expect error: emberlap: small_log.csv:1: no column "Speeed"; did you mean "Speed"? (from wrong_missing_column.lua:3)
