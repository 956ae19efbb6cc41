-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.fluid { grade = "DOT 4", wet = "240 C" }
-- expect error: emberlap: wrong_fluid_wet_above_grade.lua:3: fluid.wet: the wet boiling point must be below the dry one
