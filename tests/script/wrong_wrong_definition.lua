-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.brake { rotor = m.pad, pad = m.pad, caliper = m.caliper }
