-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor { diameter = { "355 mm" }, thickness = "32 mm", ring_mass = "7.9 kg" }
