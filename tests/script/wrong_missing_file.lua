-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.trace { file = "no_such_log.csv", time = "Time", speed = "Speed", lap = "Lap" }
-- expect error: emberlap: wrong_missing_file.lua:3: trace.file: no file "no_such_log.csv" beside the script (.)
