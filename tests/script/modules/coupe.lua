-- SPDX-License-Identifier: MIT
-- The car, course and stint that the script tests share.
local el = require "emberlap"

local M = {}

M.fluid = el.fluid { dry = "310 C", wet = "200 C", water = "1 %" }
M.rotor = el.rotor { diameter = "355 mm", thickness = "32 mm", ring_mass = "7.9 kg",
                     hat_mass = "1.2 kg", construction = "two-piece", vanes = 48 }
M.pad = el.pad { area = "62 cm2", height = "50 mm", thickness = "16 mm", thickness_now = "11 mm",
                 friction = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.44 }, { 800, 0.30 } },
                 window = { "150 C", "700 C" } }
M.caliper = el.caliper { type = "fixed", pistons = { "38 mm", "34 mm", "30 mm" }, mass = "3.4 kg" }
M.front = el.brake { rotor = M.rotor, pad = M.pad, caliper = M.caliper }
M.rear = el.brake {
  rotor = el.rotor { diameter = "330 mm", thickness = "26 mm", ring_mass = "6.0 kg" },
  pad = M.pad:with { area = "44 cm2", height = "45 mm" },
  caliper = el.caliper { type = "fixed", pistons = { "32 mm", "28 mm" }, mass = "2.6 kg" },
}
M.car = el.car { mass = "1420 kg", tyre = { radius = "318 mm" }, aero = { drag_area = "0.72 m2" },
                 fluid = M.fluid, front = M.front, rear = M.rear }
M.course = el.trace { file = "small_log.csv", time = "Time", speed = "Speed", lap = "Lap" }
M.stint = el.stint { out = 1, hot = 2, cool = 1, park = "2 min", ambient = "20 C" }

return M
