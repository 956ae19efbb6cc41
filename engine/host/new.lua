-- @NAME@: one car, one session, one question.
--
--   emberlap run @NAME@.lua              the whole page
--   emberlap check @NAME@.lua            everything but the running
--   emberlap run @NAME@.lua hot=12       twelve hot laps
--   emberlap help car                    every key of a car; rotor, pad, stint ... likewise
--
-- All figures below are invented. Replace them from the top down by what you measured; the page
-- names the assumptions that move its tightest margin most, so begin with those. A value is text
-- with its unit, or a bare number in SI with temperatures in C.

local el = require "emberlap"

local car = el.car {
  mass = "1165 kg",          -- on the scales, driver in, tank as it starts
  front_weight = "61 %",     -- front axle over the whole, from the same scales
  cg_height = "51 cm",       -- from scales with one axle raised, or what the class publishes
  wheelbase = "2.48 m",      -- hub to hub, with a tape
  tyre = {
    radius = "29.6 cm",      -- roll one turn on the loaded car, divide by 6.28
    grip = 1.15,             -- hardest stop of your log without ABS, in g; leave it out if unknown
  },
  aero = {
    drag_area = "0.65 m2",   -- from a coast-down, or the maker's drag coefficient times area
  },

  fluid = el.fluid {
    dry = "300 C",           -- on the bottle
    wet = "185 C",           -- on the bottle too: with the water of the wet test
    water = "1 %",           -- a test pen; or age = "6 months" since the bottle was opened
  },

  pedal = {
    ratio = 4.2,             -- travel of the pad over travel of the rod, both with a rule
    master = { bore = "25.4 mm" },      -- cast into its body; { front =, rear = } for two
    booster = { gain = 4.5 },  -- force out over force in; leave booster out if there is none
    distribution = "valve",  -- "fixed", "bar" or "valve"
    knee = "24 bar",         -- line pressure from which the valve holds the rear back
  },

  front = el.brake {
    rotor = el.rotor {
      diameter = "316 mm",   -- a tape across the faces
      thickness = "25 mm",   -- a micrometer, as it is now and not as it was new
      ring_mass = "5.1 kg",  -- the iron ring alone; mass = for a rotor weighed whole
      hat_mass = "1.4 kg",   -- the hat, or whole rotor less ring
      vanes = 38,            -- count the channels at the rim; 0 for a solid disc
      minimum = "23 mm",     -- stamped on the hat
    },
    pad = el.pad {
      area = "49 cm2",       -- trace one pad on squared paper
      height = "45 mm",      -- of the friction material, radially
      thickness = "14 mm",   -- of the friction material when new, without its plate
      thickness_now = "11 mm",          -- as it goes into this session
      friction = { { 20, 0.35 }, { 250, 0.44 }, { 600, 0.42 }, { 750, 0.33 } }, -- { C, coefficient }
      window = { "60 C", "700 C" },     -- where its maker says it works
    },
    caliper = el.caliper {
      type = "sliding",      -- "fixed" has pistons on both sides
      pistons = { "54 mm" }, -- diameters on ONE side
      mass = "3.7 kg",       -- without pads, drained
    },
  },

  rear = el.brake {          -- measured like the front; give it what is really there
    rotor = el.rotor { diameter = "264 mm", thickness = "10 mm", ring_mass = "2.1 kg",
                       hat_mass = "1 kg", vanes = 0, minimum = "8 mm" },
    pad = el.pad { area = "31 cm2", height = "38 mm", thickness = "11 mm",
                   friction = { { 20, 0.34 }, { 250, 0.40 }, { 600, 0.37 } },
                   window = { "30 C", "600 C" } },
    caliper = el.caliper { type = "sliding", pistons = { "34 mm" }, mass = "2.3 kg" },
  },
}

-- Your logger's file beside this script. `emberlap log FILE` says what is made of it; columns that
-- are guessed wrong are named: speed = "GPS Speed", speed_unit = "mph".
local course = el.trace { file = "@NAME@_log.csv", of = car }

-- Laps are the log's median hot lap again and again; logged = true drives the log as it is.
local stint = el.stint {
  out = 1,
  hot = tonumber(el.args.hot or 6),
  cool = 1,
  park = "10 min",           -- fluid is hottest minutes after the car has stopped
  ambient = "27 C",          -- in the shade of the paddock
}

local run = el.run {
  car = car, course = course, stint = stint,
  event = { sessions = 4 },  -- what the pads have to last
}
print(run)
run:save "@NAME@.csv"        -- every node over time, for readings to be held against

-- What if: the same with one thing changed. Maps merge, so only what differs is written.
local tries = {
  { "hotter day", car, stint:with { ambient = "38 C" } },
  { "worn front pads", car:with { front = { pad = { thickness_now = "7 mm" } } }, stint },
  { "front ducts", car:with { front = { duct = el.duct {
      bore = "63 mm",        -- inside of the hose
      length = "1.1 m", bends = 2, inlet = "nose", aim = "eye" } } }, stint },
}
for _, try in ipairs(tries) do
  local r = el.run { car = try[2], course = course, stint = try[3] }
  print(("%-16s %-9s tightest: %s; front pad %.0f C, front fluid %.0f C with %.0f K left"):format(
    try[1], r.verdict, r.checks[1].name, r.front.pad.peak, r.front.fluid.peak, r.front.fluid.margin))
end
