-- SPDX-License-Identifier: MIT
-- A shelf of parts for el.shortlist, invented for the demo: no maker sells any of these. Sizes,
-- masses, prices and hours are what such parts usually are, within what one finds for cars of
-- 1300 to 1500 kg; none is a measurement. Put in your own shelf.
--
-- An option is { name =, part = a definition, fits = }. Its price is where el.run has it: `cost` of
-- one rotor or caliper, of the pads or ducts of an axle, of the masters, of a litre of fluid;
-- `labour` is the time to fit an axle, the masters, or to bleed the car. `fits` says what goes with
-- it: a caliper takes rotors of a least and greatest diameter and thickness, stands out over their
-- edge by `stack`, and takes pads of one shape.

local el = require "emberlap"

local parts = {}

-- Front rings on hats of aluminium, but for the first. A wider ring has more iron to heat and more
-- face to cool; more of either weighs.
parts.rotors = {
  { name = "Tarn 345, one piece", -- cheap and small, a spare for the road
    part = el.rotor { diameter = "345 mm", thickness = "30 mm", ring_mass = "7.2 kg",
                      hat_mass = "2.3 kg", construction = "one-piece", hat = "plain", vanes = 40,
                      cost = 95, labour = "1 h" } },
  { name = "Tarn 355", -- the size that is on the car, new
    part = el.rotor { diameter = "355 mm", thickness = "32 mm", ring_mass = "8.3 kg",
                      hat_mass = "1.2 kg", construction = "two-piece", hat = "plain", vanes = 48,
                      cost = 240, labour = "1 h" } },
  { name = "Tarn 355, heavy", -- the same with thicker cheeks
    part = el.rotor { diameter = "355 mm", thickness = "34 mm", ring_mass = "9.3 kg",
                      hat_mass = "1.2 kg", construction = "two-piece", hat = "plain", vanes = 48,
                      cost = 275, labour = "1 h" } },
  { name = "Scree 355, curved vanes", -- pumps more air
    part = el.rotor { diameter = "355 mm", thickness = "32 mm", ring_mass = "8.1 kg",
                      hat_mass = "1.1 kg", construction = "two-piece", hat = "plain", vanes = 60,
                      vane = "curved", cost = 365, labour = "1 h" } },
  { name = "Scree 370, curved vanes", -- needs a caliper that reaches round it
    part = el.rotor { diameter = "370 mm", thickness = "34 mm", ring_mass = "9.6 kg",
                      hat_mass = "1.3 kg", construction = "two-piece", hat = "plain", vanes = 60,
                      vane = "curved", cost = 430, labour = "1.2 h" } },
  { name = "Scree 390, curved vanes", -- asks for a larger wheel than most have
    part = el.rotor { diameter = "390 mm", thickness = "36 mm", ring_mass = "11.4 kg",
                      hat_mass = "1.4 kg", construction = "two-piece", hat = "plain", vanes = 72,
                      vane = "curved", cost = 520, labour = "1.2 h" } },
}

-- Shapes: A is the long low pad of most calipers here, B is taller, C is small.
local function pad(shape, name, keys)
  local of = { A = { area = "62 cm2", height = "50 mm" }, B = { area = "68 cm2", height = "54 mm" },
               C = { area = "50 cm2", height = "46 mm" } }
  local all = { thickness = "16 mm", labour = "0.5 h" }
  for k, v in pairs(of[shape]) do all[k] = v end
  for k, v in pairs(keys) do all[k] = v end
  return { name = name, part = el.pad(all), fits = { pad = shape } }
end

-- Friction over face temperature in C, and the window that the mixture works in.
local road = { { 20, 0.40 }, { 250, 0.44 }, { 450, 0.36 }, { 600, 0.26 } }
local day = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.46 }, { 800, 0.34 } }
local hard = { { 20, 0.34 }, { 300, 0.48 }, { 700, 0.48 }, { 850, 0.40 } }
local long = { { 20, 0.32 }, { 300, 0.42 }, { 750, 0.42 }, { 900, 0.38 } }

parts.pads = {
  pad("A", "Alder A, road", { friction = road, window = { "20 C", "450 C" }, cost = 70 }),
  pad("A", "Birch A, track day", { friction = day, window = { "60 C", "700 C" }, cost = 150 }),
  pad("A", "Cedar A, sprint", { friction = hard, window = { "100 C", "820 C" }, cost = 260 }),
  pad("A", "Damson A, long run", -- bites less, wears less
      { friction = long, window = { "120 C", "880 C" }, wear = "45 mm3/MJ", cost = 340 }),
  pad("B", "Birch B, track day", { friction = day, window = { "60 C", "700 C" }, cost = 175 }),
  pad("B", "Cedar B, sprint", { friction = hard, window = { "100 C", "820 C" }, cost = 295 }),
  pad("C", "Birch C, track day", { friction = day, window = { "60 C", "700 C" }, cost = 130 }),
  pad("C", "Cedar C, sprint", { friction = hard, window = { "100 C", "820 C" }, cost = 230 }),
}

-- Front calipers; lines, brackets and a bleed are in the hours.
parts.calipers = {
  { name = "Weir four, small", -- light, for small rings
    part = el.caliper { type = "fixed", pistons = { "41 mm", "38 mm" }, mass = "2.6 kg",
                        rating = "140 bar", cost = 330, labour = "2.5 h" },
    fits = { diameter = { "330 mm", "355 mm" }, thickness = { "28 mm", "32 mm" },
             stack = "27 mm", pad = "C" } },
  { name = "Weir six", -- what is on the car, rebuilt
    part = el.caliper { type = "fixed", pistons = { "38 mm", "34 mm", "30 mm" }, mass = "3.4 kg",
                        rating = "160 bar", cost = 520, labour = "2.5 h" },
    fits = { diameter = { "345 mm", "362 mm" }, thickness = { "30 mm", "34 mm" },
             stack = "29 mm", pad = "A" } },
  { name = "Weir six, wide", -- reaches round a ring of 370
    part = el.caliper { type = "fixed", pistons = { "38 mm", "34 mm", "30 mm" }, mass = "3.7 kg",
                        rating = "160 bar", cost = 640, labour = "3 h" },
    fits = { diameter = { "360 mm", "380 mm" }, thickness = { "32 mm", "36 mm" },
             stack = "29 mm", pad = "A" } },
  { name = "Lock six, stiff", -- titanium pistons keep the fluid cooler
    part = el.caliper { type = "fixed", pistons = { "40 mm", "36 mm", "32 mm" }, mass = "3.9 kg",
                        piston = "titanium", opening = "0.15 mm", rating = "180 bar", cost = 1250,
                        labour = "3 h" },
    fits = { diameter = { "355 mm", "380 mm" }, thickness = { "32 mm", "36 mm" },
             stack = "30 mm", pad = "B" } },
  { name = "Lock six, large", -- for a ring of 390
    part = el.caliper { type = "fixed", pistons = { "42 mm", "38 mm", "34 mm" }, mass = "4.3 kg",
                        piston = "titanium", opening = "0.15 mm", rating = "180 bar", cost = 1480,
                        labour = "3 h" },
    fits = { diameter = { "380 mm", "400 mm" }, thickness = { "34 mm", "36 mm" },
             stack = "31 mm", pad = "B" } },
}

-- Pairs of masters for a balance bar: less bore is less effort and more travel.
parts.masters = {
  { name = "pair 15.9 / 19.1", part = { front = "15.9 mm", rear = "19.1 mm", cost = 210,
                                        labour = "3 h" } },
  { name = "pair 17.8 / 22.2", part = { front = "17.8 mm", rear = "22.2 mm", cost = 210,
                                        labour = "3 h" } },
  { name = "pair 19.1 / 23.8", part = { front = "19.1 mm", rear = "23.8 mm", cost = 230,
                                        labour = "3 h" } },
  { name = "pair 20.6 / 25.4", part = { front = "20.6 mm", rear = "25.4 mm", cost = 230,
                                        labour = "3 h" } },
  { name = "pair 22.2 / 25.4", part = { front = "22.2 mm", rear = "25.4 mm", cost = 245,
                                        labour = "3 h" } },
}

-- A litre; a bleed takes event.bleed_volume of it. All fresh but for 0.5 % of water.
local function fluid(name, dry, wet, cost)
  return { name = name, part = el.fluid { dry = dry, wet = wet, water = "0.5 %", cost = cost,
                                          labour = "0.8 h" } }
end
parts.fluids = {
  fluid("Beck 230/155", "230 C", "155 C", 14), -- about the least a DOT 4 may have
  fluid("Beck 268/170", "268 C", "170 C", 24),
  fluid("Rill 290/180", "290 C", "180 C", 38),
  fluid("Rill 312/195", "312 C", "195 C", 56),
  fluid("Force 312/205", "312 C", "205 C", 72),
  fluid("Force 328/212", "328 C", "212 C", 118),
}

-- Of the front axle: inlets, hoses and plates. Hours are for cutting and fastening.
local function duct(name, keys)
  keys.length = keys.length or "1.4 m"
  return { name = name, part = el.duct(keys) }
end
parts.ducts = {
  duct("Lee 51, open eye", { bore = "51 mm", mass = "0.6 kg", cost = 90, labour = "2 h" }),
  duct("Lee 63, open eye", { bore = "63 mm", mass = "0.8 kg", cost = 120, labour = "2.5 h" }),
  duct("Lee 63, sealed plate", { bore = "63 mm", inlet = "nose", aim = "eye", mass = "1 kg",
                                 cost = 220, labour = "4 h" }),
  duct("Lee 76, open eye", { bore = "76 mm", mass = "1 kg", cost = 150, labour = "3 h" }),
  duct("Lee 76, sealed plate", { bore = "76 mm", inlet = "nose", aim = "eye", mass = "1.1 kg",
                                 cost = 280, labour = "4 h" }),
  duct("Lee 102, sealed plate", { bore = "102 mm", inlet = "nose", aim = "eye", mass = "1.5 kg",
                                  cost = 360, labour = "6 h" }),
}

return parts
