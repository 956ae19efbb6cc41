-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "small_log.csv", pressure_rear = "Speeed" }
-- expect error: emberlap: small_log.csv:1: no column "Speeed"; did you mean "Speed"? (from wrong_column_pressure_rear.lua:3)
