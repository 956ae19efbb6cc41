-- SPDX-License-Identifier: MIT
-- el.shortlist: the list against every combination run one by one with el.run.
-- status: 1
-- expect: SHORTLIST of 36 combinations, least money first
-- expect: As it is   fails: front rotor core passed by 3 K.
-- expect: Do not fit 16: the pad has another shape than the caliper takes (12); no duct
-- expect: with the soft pad (4).
-- expect: PACKAGES THAT DO NOT FAIL
-- expect: front.duct: no. 2
-- expect: More margin: no. 5, +520.00 money
-- expect: ONE CHANGE ALONE
-- expect: front.pad: none is enough; nearest soft for 240.00, fails:
-- expect: BEFORE ANYONE BUYS OR DRIVES
-- expect: 1 option has no price and counts as free.
-- expect: the same as one by one: 5
-- expect: saved
-- writes: all.json
-- writes: cheap.csv
local el = require "emberlap"
local m = require "modules.package"
local pad = require("modules.coupe").pad

local car = m.car
local limits = { rotor = "615 C" } -- the front core comes to 618 C, with a duct to 612 or 603 C
local event = { labour_rate = 60, sessions = 3 }
local soft = { name = "soft", part = { friction = { { 20, 0.5 } } }, fits = { pad = "A" } }
local change = {
  ["front.pad"] = {
    soft,
    { name = "hard", part = pad:with { window = { "20 C", "1100 C" } }, cost = 300,
      labour = "30 min", fits = { pad = "B" } },
  },
  ["front.duct"] = {
    { name = "76 mm", part = el.duct { bore = "76 mm", length = "1.4 m", cost = 280 },
      labour = "4 h", mass = "1.2 kg" },
    el.duct { bore = "51 mm", length = "1.4 m" },
  },
  fluid = {
    { name = "290/180", part = el.fluid { dry = "290 C", wet = "180 C", water = "1 %", cost = 40 } },
    { name = "312/205", part = el.fluid { dry = "312 C", wet = "205 C", water = "1 %", cost = 40 } },
    { name = "grade", part = el.fluid { grade = "DOT 4" }, cost = 10, labour = "0.8 h" },
  },
}
local asked = 0
local list = el.shortlist {
  car = car, course = m.course, stint = m.stint, event = event, limits = limits, change = change,
  fits = { ["front.caliper"] = { pad = "A" }, ["front.pad"] = { pad = "A" } },
  fit = function(pick)
    asked = asked + 1
    assert(pick["front.pad"] == nil or pick["front.pad"] == soft)
    return not (pick["front.pad"] == soft and pick["front.duct"] ~= nil), "no duct with the soft pad"
  end,
  want = 5,
}
print(list)

-- every combination by hand, in the same order; 0 is what is there
local rows = {}
for p = 0, 1 do
  for d = 0, 2 do
    for f = 0, 3 do
      if not (p == 1 and d > 0) then
        local patch, money = { front = {} }, 0
        if p == 1 then patch.front.pad = soft.part money = money + 240 end -- as the pad that it changes
        if d == 1 then
          patch.front.duct = change["front.duct"][1].part:with { labour = "4 h", mass = "1.2 kg" }
          money = money + 280 + 4 * 60
        elseif d == 2 then patch.front.duct = change["front.duct"][2] end
        if f > 0 then
          patch.fluid = change.fluid[f].part
          money = money + (f < 3 and 20 or 0.5 * 10 + 0.8 * 60)
        end
        local run = el.run { car = car:with(patch), course = m.course, stint = m.stint, event = event, limits = limits }
        if run.verdict ~= "fails" then
          rows[#rows + 1] = { money = money, run = run, n = #rows }
        end
      end
    end
  end
end
table.sort(rows, function(a, b)
  if math.abs(a.money - b.money) > 1e-6 then return a.money < b.money end
  if a.run.cost.event ~= b.run.cost.event then return a.run.cost.event < b.run.cost.event end
  if a.run.mass.unsprung ~= b.run.mass.unsprung then return a.run.mass.unsprung < b.run.mass.unsprung end
  return a.n < b.n
end)
assert(#rows > 5 and #list == 5 and asked > 0)
for i, row in ipairs(list) do
  local by_hand = rows[i]
  assert(row.rank == i and math.abs(row.cost - by_hand.money) < 1e-6, i)
  assert(row.verdict == by_hand.run.verdict and row.margin == by_hand.run.checks[1].margin, i)
  assert(row.limit == by_hand.run.checks[1].name and row.mass == by_hand.run.mass.unsprung, i)
  if row.picks.fluid ~= "grade" then assert(row.event == by_hand.run.cost.event, i) end
  -- and the car of a row is that car
  local again = el.run { car = row.car, course = m.course, stint = m.stint, event = event, limits = limits }
  assert(again.verdict == row.verdict and again.checks[1].margin == row.margin, i)
  assert(again.cost.event == row.event)
end
print("the same as one by one: " .. #list)

local c = list.counts
assert(c.combinations == 36 and c.misfit + c.panic + c.failed + c.judged + c.later == 36)
assert(list.as_it_is.verdict == "fails" and list.as_it_is.cost == 0 and next(list.as_it_is.picks) == nil)
assert(list.alone["front.pad"].picks["front.pad"] == "soft" and list.nearest == nil)
list:save "cheap.csv"
list:save "all.json"
print "saved"
