-- Harrow Vale: one coupe, one session, two fluids.
--
-- The question: the car came with a road-grade fluid. Twelve hot laps, one lap to cool down, ten
-- minutes parked on a warm day. Does that fluid live through it, and if not, is a better one
-- enough, or does the rest of the brake have to change too?
--
-- Everything here is a scenario of our own. The log was written by tests/support/make_log.c.

local el = require "emberlap"

-- Two bottles. "wet" is the boiling point of the wet test, with 3.7 % of water in it.
local fluids = {
  { name = "road grade", fluid = el.fluid { dry = "268 C", wet = "162 C", water = "1.5 %" } },
  { name = "race grade", fluid = el.fluid { dry = "312 C", wet = "205 C", water = "1.5 %" } },
}

-- The same friction curve on both axles keeps the balance where it is as the pads get hot.
local friction = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.46 }, { 800, 0.34 } }

local coupe = el.car {
  mass = "1420 kg", -- on the scales, driver in
  tyre = { radius = "318 mm" },
  aero = { drag_area = "0.72 m2" },
  fluid = fluids[1].fluid,
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

-- A session that this car drove; its median hot lap is the one that is repeated.
local course = el.trace {
  file = "tracks/harrow_vale_log.csv", time = "Time", speed = "Speed", lap = "Lap",
  distance = "Distance", of = coupe,
}

-- emberlap run scripts/harrow_vale.lua hot=8 tries fewer laps.
local stint = el.stint {
  out = 1, hot = tonumber(el.args.hot or 12), cool = 1, park = "10 min", ambient = "32 C",
}

for i, bottle in ipairs(fluids) do
  local run = el.run { car = coupe:with { fluid = bottle.fluid }, course = course, stint = stint }
  print(("==== %d of %d: %s fluid ===="):format(i, #fluids, bottle.name))
  print(run)
  run:save(("harrow_vale_%d.json"):format(i))
  run:save(("harrow_vale_%d.csv"):format(i), { every = "0.5 s" })
end
