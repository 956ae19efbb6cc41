-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor { diameter = "355 mn", thickness = "32 mm", ring_mass = "7.9 kg" }
-- expect error: emberlap: wrong_unknown_unit.lua:3: rotor.diameter: "355 mn": the unit "mn" is not one of m, mm, cm, km, in, ft, mi; did you mean "mm"?
