-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local other =
  m.car:with { front = { rotor = { ring_mass = "55 kg" } } }
-- expect error: emberlap: wrong_out_of_range_deep.lua:5: front.rotor.ring_mass: 55 kg is outside 0.5 kg to 25 kg; did you mean "55 lb"?
