-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local other =
  m.car:with { front = { rotor = { ring_mass = "55 kg" } } }
