-- SPDX-License-Identifier: MIT
-- Cheapest first: what is the least money that makes this package hold?
--
-- The coupe of harrow_vale.lua with a pedal and tyres of known grip. Its brakes do not last twelve
-- hot laps. Six changes are on the shelf, each with its price and the hours to fit it. They are
-- tried in the order of what they cost, each on top of what was bought before; what does not help
-- the tightest check is put back. Then every other mix that costs less than the answer is tried,
-- so that the answer is the cheapest there is on this shelf, whatever the order.
--
--   emberlap run scripts/cheapest_first.lua           twelve hot laps
--   emberlap run scripts/cheapest_first.lua hot=6     fewer
--
-- Everything here is a scenario of our own: car, course, prices and hours. Put in yours.

local el = require "emberlap"

local friction = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.46 }, { 800, 0.34 } }

-- What is on the car is paid for, so nothing here has a price.
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

-- The shelf. Prices: of a litre of fluid, a set of pads for an axle, the ducts of an axle, one
-- rotor, one caliper, the masters. Hours include bleeding where a line is opened.
local race = { { 20, 0.34 }, { 300, 0.48 }, { 700, 0.48 }, { 850, 0.40 } }
local shelf = {
  { name = "fluid", -- race fluid, 312/205 C
    change = { fluid = el.fluid { dry = "312 C", wet = "205 C", water = "1 %",
                                  cost = 70, labour = "0.8 h" } } },
  { name = "pads", -- race pads, front and rear
    change = { front = { pad = { friction = race, window = { "120 C", "850 C" },
                                 thickness_now = "16 mm", cost = 300, labour = "0.5 h" } },
               rear = { pad = { friction = race, window = { "80 C", "850 C" },
                                cost = 200, labour = "0.5 h" } } } },
  { name = "ducts", -- 76 mm hoses to sealed plates, front
    change = { front = { duct = el.duct { bore = "76 mm", length = "1.4 m", inlet = "nose",
                                          aim = "eye", mass = "1.1 kg", cost = 280,
                                          labour = "4 h" } } } },
  { name = "rotors", -- 370 x 34 mm rings, front
    change = { front = { rotor = { diameter = "370 mm", thickness = "34 mm", ring_mass = "9.6 kg",
                                   hat_mass = "1.3 kg", cost = 420, labour = "1.2 h" } } } },
  { name = "calipers", -- stiffer ones, titanium pistons, front
    change = { front = { caliper = { pistons = { "40 mm", "36 mm", "32 mm" }, mass = "3.9 kg",
                                     piston = "titanium", opening = "0.15 mm",
                                     cost = 1250, labour = "3 h" } } } },
  { name = "masters", -- the next bores up
    change = { pedal = { master = { front = "19.05 mm", rear = "23.8 mm",
                                    cost = 260, labour = "3 h" } } } },
}
local labour_rate = 75 -- an hour

local course = el.trace {
  file = "tracks/harrow_vale_log.csv", time = "Time", speed = "Speed", lap = "Lap",
  distance = "Distance", of = coupe,
}
local hot = tonumber(el.args.hot or 12)
local stint = el.stint {
  out = 2, hot = hot, cool = 1, park = "10 min", ambient = "32 C",
}

-- ---- trying a mix: a set of places on the shelf, as bits ----

local tried, ntried = {}, 0

local function try(mix)
  if not tried[mix] then
    local car, names = coupe, {}
    for i, item in ipairs(shelf) do
      if mix & (1 << i) ~= 0 then
        car = car:with(item.change)
        names[#names + 1] = item.name
      end
    end
    local run = el.run { car = car, course = course, stint = stint,
                         event = { labour_rate = labour_rate, bleed_volume = "0.5 l" } }
    ntried = ntried + 1
    tried[mix] = { run = run, verdict = run.verdict, tightest = run.checks[1],
                   parts = run.cost.parts, labour = run.cost.labour,
                   cost = run.cost.parts + run.cost.labour, unsprung = run.mass.unsprung,
                   names = #names > 0 and table.concat(names, " + ") or "nothing" }
  end
  return tried[mix]
end

local stock = try(0)
for i, item in ipairs(shelf) do
  item.bit = 1 << i
  item.cost = try(item.bit).cost
  item.kg = try(item.bit).unsprung - stock.unsprung
end

local function find(run, name)
  for _, check in ipairs(run.checks) do
    if check.name == name then return check end
  end
end

-- Does it help? A better verdict does; within the same one, a tenth of the band of the tightest
-- check, or it is not worth the money.
local rank = { fails = 1, marginal = 2, holds = 3 }
local function helps(before, after)
  if rank[after.verdict] ~= rank[before.verdict] then
    return rank[after.verdict] > rank[before.verdict]
  end
  local b, a = before.tightest, after.tightest
  return a.margin / a.band > b.margin / b.band + 0.1
end

-- Margins in the units they are spoken in.
local spoken = {
  ["pedal effort"] = { 1, "N" }, ["pedal travel"] = { 100, "%" }, balance = { 100, "%" },
  bite = { 100, "%" }, grip = { 1 / 9.80665, "g" }, ["panic pressure"] = { 1e-5, "bar" },
  ["pad wear"] = { 1000, "mm" }, ["rotor wear"] = { 1000, "mm" },
}
local function say(check)
  local by = spoken[check.kind] or { 1, "K" }
  local margin = check.margin * by[1]
  local digits = by[2] == "g" and 2 or math.abs(margin) < 9.95 and 1 or 0
  return ("%.*f %s"):gsub("*", digits):format(margin, by[2])
end
local function short(check) return (check.name:gsub("^car ", "")) end

-- ---- the ladder ----

local order = table.pack(table.unpack(shelf))
table.sort(order, function(a, b) return a.cost < b.cost end)

local row = "%-9s %6.0f %+5.1f  %-34s %-9s%s"
print(("Harrow Vale at 32 C: %d hot laps, then 10 min parked; labour %d an hour"):format(hot,
      labour_rate))
print(("%-9s %6s %5s  %-34s %-9s%s"):format("change", "price", "kg",
      "tightest so far, and its margin", "verdict", "kept"))
print(row:format("as it is", 0, 0, short(stock.tightest) .. " " .. say(stock.tightest),
                 stock.verdict, "-"))

local mix, steps, answer = 0, {}, nil
if stock.verdict == "holds" then answer = 0 end
for _, item in ipairs(order) do
  local before, after = try(mix), try(mix | item.bit)
  local was = before.tightest
  local is = find(after.run, was.name)
  local kept = answer == nil and helps(before, after)
  local gain = ("%s %s to %s"):format(short(was), say(was), say(is))
  print(row:format(item.name, item.cost, item.kg, gain, after.verdict,
                   answer and "no need" or kept and "yes" or "no"))
  if after.tightest.name ~= was.name then
    print(("%24sthen %s %s"):format("", short(after.tightest), say(after.tightest)))
  end
  steps[#steps + 1] = { name = item.name, cost = item.cost, kg = item.kg, kept = kept,
                        check = was.name, before = was.margin, after = is.margin,
                        verdict = after.verdict }
  if kept then
    mix = mix | item.bit
    if after.verdict == "holds" then answer = mix end
  end
end

-- ---- every mix that costs less ----

local ladder = answer
local function price(m)
  local sum = 0
  for _, item in ipairs(shelf) do
    if m & item.bit ~= 0 then sum = sum + item.cost end
  end
  return sum
end
for m = 1, (1 << #shelf) - 1 do
  m = m << 1
  if (answer == nil or price(m) < price(answer)) and try(m).verdict == "holds" then answer = m end
end

local function wrap(text)
  local line = ""
  for word in text:gmatch "%S+" do
    if #line + 1 + #word > 79 then
      print(line)
      line = " "
    end
    line = line == "" and word or line .. " " .. word
  end
  print(line)
end

local found = answer and try(answer)
if found then
  wrap(("ANSWER: %s for %.0f (parts %.0f, labour %.0f), %+.1f kg: it holds, and tightest is then "
        .. "the %s with %s left. No cheaper mix of the %d changes holds (%d cars driven). It is an "
        .. "estimate; the prices are invented."):format(found.names, found.cost, found.parts,
        found.labour, found.unsprung - stock.unsprung, short(found.tightest),
        say(found.tightest), #shelf, ntried))
else
  wrap(("ANSWER: no mix of what is on this shelf makes it hold (%d cars driven). Fewer laps, a "
        .. "cool-down lap, or another package."):format(ntried))
end

return { shelf = shelf, steps = steps, stock = stock, answer = found, mix = answer, try = try,
         ladder = ladder }
