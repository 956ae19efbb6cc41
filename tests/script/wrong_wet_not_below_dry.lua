-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.fluid { dry = "200 C", wet = "200 C" }
-- expect error: emberlap: wrong_wet_not_below_dry.lua:3: fluid.wet: the wet boiling point must be below the dry one
