-- SPDX-License-Identifier: MIT
-- Nothing guessed and nothing repaired: nothing said.
-- expect silence
local el = require "emberlap"
el.trace { file = "small_log.csv", time = "Time", speed = "Speed", lap = "Lap" }
-- expect: read
print "read"
