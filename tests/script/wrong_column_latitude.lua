-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "small_log.csv", latitude = "Speeed" }
-- expect error: emberlap: small_log.csv:1: no column "Speeed"; did you mean "Speed"? (from wrong_column_latitude.lua:3)
