-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor { diameter = "355 mm", ring_mass = "8 kg" }
-- expect error: emberlap: wrong_missing_key.lua:3: rotor.thickness: missing: "thickness" (thickness of the ring over both faces)
