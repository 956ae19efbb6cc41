-- SPDX-License-Identifier: MIT
-- Shortlist: which is the least money, out of everything on the shelf, that makes the brakes hold?
--
-- The question: the coupe of harrow_vale.lua does not last twelve hot laps at 32 C. Rings, pads,
-- calipers, ducts, masters and fluids are on the shelf (parts/catalogue.lua, all invented): which
-- five packages are the cheapest that do, what gives out first in each, and what would a little
-- more money buy?
--
-- Why it comes out as it does: fluid and pads are both past their limits, so no single change is
-- enough. A better fluid is the least money for the first, and cooler rings help both: a duct sheds
-- heat all session, a heavier ring only puts it off.
--
--   emberlap run scripts/shortlist.lua           by money
--   emberlap run scripts/shortlist.lua by=mass   by mass, or by=event, by=labour

local el = require "emberlap"
local parts = require "parts.catalogue"

local friction = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.46 }, { 800, 0.34 } }

local coupe = el.car {
  mass = "1420 kg", front_weight = "46 %", cg_height = "46 cm", wheelbase = "2.62 m",
  tyre = { radius = "318 mm", grip = 1.45 },
  aero = { drag_area = "0.72 m2" },
  pedal = {
    ratio = 5, effort_limit = "650 N", distribution = "bar", balance = "51 %",
    master = { front = "17.8 mm", rear = "22.2 mm", stroke = "34 mm" },
  },
  fluid = el.fluid { dry = "268 C", wet = "162 C", water = "1 %" },
  front = el.brake {
    rotor = el.rotor {
      diameter = "355 mm", thickness = "32 mm", ring_mass = "8.3 kg", hat_mass = "1.2 kg",
      construction = "two-piece", hat = "plain", vanes = 48,
    },
    pad = el.pad {
      area = "62 cm2", height = "50 mm", thickness = "16 mm", thickness_now = "9 mm",
      friction = friction, window = { "100 C", "810 C" },
    },
    caliper = el.caliper { type = "fixed", pistons = { "38 mm", "34 mm", "30 mm" },
                           mass = "3.4 kg" },
  },
  rear = el.brake {
    rotor = el.rotor {
      diameter = "340 mm", thickness = "28 mm", ring_mass = "6.6 kg", hat_mass = "2.1 kg",
      construction = "one-piece", hat = "plain", vanes = 40,
    },
    pad = el.pad {
      area = "48 cm2", height = "46 mm", thickness = "14 mm",
      friction = friction, window = { "40 C", "650 C" },
    },
    caliper = el.caliper { type = "fixed", pistons = { "34 mm", "30 mm" }, mass = "2.5 kg" },
  },
}

local course = el.trace {
  file = "tracks/harrow_vale_log.csv", time = "Time", speed = "Speed", lap = "Lap",
  distance = "Distance", of = coupe,
}

local list = el.shortlist {
  car = coupe, course = course,
  stint = el.stint { out = 2, hot = 12, cool = 1, park = "10 min", ambient = "32 C" },
  event = { labour_rate = 75 },
  change = { -- what may change, and to what; what is there may stay, and costs nothing
    ["front.rotor"] = parts.rotors,
    ["front.pad"] = parts.pads,
    ["front.caliper"] = parts.calipers,
    ["front.duct"] = parts.ducts,
    ["pedal.master"] = parts.masters,
    fluid = parts.fluids,
  },
  fits = {
    wheel = "430 mm", -- inside the rim, where the caliper turns
    -- what is on the car, which is in no catalogue
    ["front.caliper"] = { diameter = { "345 mm", "362 mm" }, thickness = { "30 mm", "34 mm" },
                          stack = "29 mm", pad = "A" },
    ["front.pad"] = { pad = "A" },
  },
  need = "holds",
  want = 5,
  by = el.args.by or "cost",
}
print(list)
return list
