-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "small_log.csv", start_line = { 95, 10 } }
-- expect error: emberlap: wrong_start_line.lua:3: trace.start_line[1]: a latitude lies between -90 and 90 degrees
