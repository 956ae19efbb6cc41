-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor "modules/bad_rotor.yaml"
-- expect error: emberlap: modules/bad_rotor.yaml:4: rotor.ring_mass: 79 kg is outside 0.5 kg to 25 kg (from wrong_wrong_document.lua:3)
