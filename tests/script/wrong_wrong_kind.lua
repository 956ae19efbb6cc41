-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor { diameter = { "355 mm" }, thickness = "32 mm", ring_mass = "7.9 kg" }
-- expect error: emberlap: wrong_wrong_kind.lua:3: rotor.diameter: expected a length such as "350 mm", found a list
