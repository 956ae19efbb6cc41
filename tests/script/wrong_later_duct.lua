-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.brake { rotor = m.rotor, pad = m.pad, caliper = m.caliper,
  duct = { bore = "76 mm" } }
