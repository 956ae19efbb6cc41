-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "small_log.csv", driver = { corner = 0.9 } }
-- expect error: emberlap: wrong_trace_driver.lua:3: trace.driver: a log has its driver in it; pace slows him (stint.pace)
