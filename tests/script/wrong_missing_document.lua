-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor "no_such_rotor.yaml"
