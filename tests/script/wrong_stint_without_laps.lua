-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.stint { park = "10 min" }
