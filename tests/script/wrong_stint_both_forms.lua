-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.stint { { "out" }, { "hot", laps = 5 }, hot = 12 }
