-- Harrow Vale: how big a duct, how heavy a ring?
--
-- The question: the coupe's front fluid passes its wet boiling point (harrow_vale.lua). Would a
-- duct be enough, or a heavier ring, and which pair is the lightest that holds? Four hoses and
-- nine rings: 36 sessions, each driven in full.
--
-- Why it comes out as it does: a duct cools all the time and helps the core, the caliper and the
-- fluid alike; a heavier ring stores more of each stop, which lowers the peaks, but sheds no more
-- heat, so that over a long session it only delays. More of either is never hotter.
--
-- expect: 36 rows

local el = require "emberlap"

local friction = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.46 }, { 800, 0.34 } }

local coupe = el.car {
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

local course = el.trace {
  file = "tracks/harrow_vale_log.csv", time = "Time", speed = "Speed", lap = "Lap",
  distance = "Distance", of = coupe,
}
local stint = el.stint { out = 1, hot = 12, cool = 1, park = "10 min", ambient = "32 C" }

local grid = el.sweep {
  over = {
    bore = { "51 mm", "63 mm", "76 mm", "102 mm" },
    ring = el.range("7 kg", "11 kg", 9),
  },
  case = function(x)
    return {
      course = course, stint = stint,
      car = coupe:with { front = { duct = { bore = x.bore }, rotor = { ring_mass = x.ring } } },
    }
  end,
}
print(grid)
print(#grid .. " rows")

local best = grid:best "front.fluid.margin"
print(("most fluid margin: %s duct, %s ring, %+.0f K"):format(best.bore, best.ring,
  best["front.fluid.margin"]))
