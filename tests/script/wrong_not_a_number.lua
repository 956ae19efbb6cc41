-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor { diameter = 0 / 0, thickness = "32 mm", ring_mass = "7.9 kg" }
-- expect error: emberlap: wrong_not_a_number.lua:3: rotor.diameter: not a number (0/0 somewhere before?)
