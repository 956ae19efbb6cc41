-- SPDX-License-Identifier: MIT
-- The coupe of the sweep in rings.lua.

local el = require "emberlap"

local friction = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.46 }, { 800, 0.34 } }

return el.car {
  mass = "1420 kg", -- on the scales, driver in
  tyre = { radius = "318 mm" },
  aero = { drag_area = "0.72 m2" },
  fluid = el.fluid { dry = "268 C", wet = "162 C", water = "1.5 %" },
  front = el.brake {
    rotor = el.rotor {
      diameter = "355 mm", thickness = "32 mm", ring_mass = "8.3 kg", hat_mass = "1.2 kg",
      construction = "two-piece", hat = "plain", vanes = 48,
    },
    pad = el.pad {
      area = "62 cm2", height = "50 mm", thickness = "16 mm", thickness_now = "9 mm",
      friction = friction, window = { "100 C", "800 C" },
    },
    caliper = el.caliper { type = "fixed", pistons = { "38 mm", "34 mm", "30 mm" }, mass = "3.4 kg" },
    duct = el.duct { bore = "51 mm", length = "1.4 m", bends = 2, aim = "eye" },
  },
  rear = el.brake {
    rotor = el.rotor {
      diameter = "340 mm", thickness = "28 mm", ring_mass = "6.6 kg", hat_mass = "2.1 kg",
      construction = "one-piece", hat = "plain", vanes = 40,
    },
    pad = el.pad {
      area = "48 cm2", height = "46 mm", thickness = "14 mm",
      friction = friction, window = { "50 C", "650 C" },
    },
    caliper = el.caliper { type = "fixed", pistons = { "34 mm", "30 mm" }, mass = "2.5 kg" },
  },
}
