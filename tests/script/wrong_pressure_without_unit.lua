-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "pressure_log.csv", pressure_front = "Line 1" }
-- expect error: emberlap: pressure_log.csv:1:
