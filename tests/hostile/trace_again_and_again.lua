-- SPDX-License-Identifier: MIT
-- Reads a log thousands of times: notes without end on standard error, and imports that are not kept.
-- engine: 6
-- expect error: no more notes
local el = require "emberlap"
for i = 1, 1500 do el.trace { file = "small_log.csv" } end
for i = 1, 100 do pcall(el.trace, { file = "modules/coupe.lua" }) end
error "read"
