-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor { diametr = "355 mm", thickness = "32 mm", ring_mass = "7.9 kg" }
-- expect error: emberlap: wrong_misspelt_key.lua:3: rotor.diametr: unknown key "diametr"; did you mean "diameter"?
