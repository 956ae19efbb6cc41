-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor { diameter = 355, thickness = "32 mm", ring_mass = "7.9 kg" }
-- expect error: emberlap: wrong_out_of_range.lua:3: rotor.diameter: 355 m is outside 0.15 m to 0.5 m; did you mean "355 mm"?
