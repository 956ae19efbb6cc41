-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor "modules/bad_rotor.yaml"
