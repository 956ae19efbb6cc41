-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.fluid { "310 C", wet = "200 C" }
