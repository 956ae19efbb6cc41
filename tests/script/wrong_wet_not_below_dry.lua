-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.fluid { dry = "200 C", wet = "200 C" }
