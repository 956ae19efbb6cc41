-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor { diameter = "355 mm", thickness = "32 mm" }
-- expect error: emberlap: wrong_missing_key.lua:3: rotor.ring_mass: missing: "ring_mass" (mass of the iron ring without its hat)
