-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
el.brake { rotor = m.rotor, pad = m.pad, caliper = m.caliper,
  left = { } }
-- expect error: emberlap: wrong_later_left.lua:4: brake.left: "left" is not yet modelled; remove it (a key is accepted only once it changes a result)
