-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.brake { rotor = m.pad, pad = m.pad, caliper = m.caliper }
-- expect error: emberlap: wrong_wrong_definition.lua:4: brake.rotor: expected a rotor, found a pad
