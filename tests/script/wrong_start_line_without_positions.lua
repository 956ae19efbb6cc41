-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "small_log.csv", start_line = { 12.5, -34.25 } }
-- expect error: emberlap: small_log.csv: a start line is given, but the log has no positions: name them with latitude and longitude, or leave the start line out (from wrong_start_line_without_positions.lua:3)
