-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.fluid { wet = "180 C", water = "2 %" }
-- expect error: emberlap: wrong_fluid_neither_dry_nor_grade.lua:3: fluid.dry: missing: "dry" (boiling point of fresh fluid), or a grade
