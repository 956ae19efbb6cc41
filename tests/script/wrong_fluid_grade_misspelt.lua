-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.fluid { grade = "DOT4" }
-- expect error: emberlap: wrong_fluid_grade_misspelt.lua:3: fluid.grade: "DOT4" is not one of "DOT 3", "DOT 4", "DOT 5", "DOT 5.1", "class 3", "class 4", "class 5-1", "class 6", "class 7"; did you mean "DOT 4"?
