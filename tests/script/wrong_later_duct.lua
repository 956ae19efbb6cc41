-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.brake { rotor = m.rotor, pad = m.pad, caliper = m.caliper,
  duct = { bore = "76 mm" } }
-- expect error: emberlap: wrong_later_duct.lua:4: brake.duct: "duct" is not yet modelled; remove it (a key is accepted only once it changes a result)
