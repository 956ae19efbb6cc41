-- SPDX-License-Identifier: MIT
-- A small hatch with the brakes that it came with; pads a quarter gone. Invented.
local el = require "emberlap"

return el.car {
  mass = "1080 kg", front_weight = "62 %",
  tyre = { radius = "293 mm" },
  aero = { drag_area = "0.66 m2" },
  fluid = el.fluid { dry = "265 C", wet = "165 C", water = "1.5 %" },
  front = el.brake {
    rotor = el.rotor { diameter = "258 mm", thickness = "22 mm", ring_mass = "4.1 kg",
                       hat_mass = "1.3 kg", vanes = 36 },
    pad = el.pad { area = "38 cm2", height = "40 mm", thickness = "12 mm", thickness_now = "9 mm",
                   friction = { { 20, 0.36 }, { 300, 0.44 }, { 700, 0.40 } },
                   window = { "20 C", "850 C" } },
    caliper = el.caliper { type = "sliding", pistons = { "54 mm" }, mass = "3.3 kg",
                           body = "iron" },
  },
  rear = el.brake {
    rotor = el.rotor { diameter = "240 mm", thickness = "10 mm", ring_mass = "1.7 kg", vanes = 0 },
    pad = el.pad { area = "26 cm2", height = "34 mm", thickness = "11 mm",
                   friction = { { 20, 0.36 }, { 300, 0.40 }, { 600, 0.34 } },
                   window = { "20 C", "700 C" } },
    caliper = el.caliper { type = "sliding", pistons = { "34 mm" }, mass = "2.4 kg" },
  },
}
