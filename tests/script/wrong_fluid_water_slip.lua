-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.fluid { grade = "DOT 4", water = 2 }
-- expect error: emberlap: wrong_fluid_water_slip.lua:3: fluid.water: 2 is outside 0 to 0.08; did you mean "2 %"?
