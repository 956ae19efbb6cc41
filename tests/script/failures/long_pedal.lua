-- SPDX-License-Identifier: MIT
-- A long pedal after big front calipers on the stock master. Half as much piston area again, seals
-- that draw back twice 0.1 mm and a body that opens more take more fluid at the same stop; the
-- bore is what it was, so the stroke pays. The line pressure for the same stop falls meanwhile, and
-- with it what pads, hoses and bodies yield, so travel grows by less than the area does.
-- expect: stock: pedal travel holds
-- expect: MARGINAL: the pedal has 27 % of a master's stroke left at the hardest stop
-- expect: on the unchanged master, line pressure -25 %, effort -25 %
-- expect: the next bore up: pedal travel holds, 13 % less effort than stock
local p = require "tests.script.modules.pedals"
local el = require "emberlap"

-- a car of some years with its rubber hoses, booster and tandem master, whose parts bear 220 bar
local stock = p.car:with {
  tyre = { grip = 1.55 },
  pedal = { ratio = 3.8, distribution = "fixed", balance = el.none, hose_swell = "0.4 cm3",
            master = { front = el.none, rear = el.none, bore = "22.2 mm", stroke = "18 mm" },
            booster = { gain = 3.2, assist = "3000 N" } },
  front = { caliper = el.caliper { type = "sliding", pistons = { "57 mm" }, mass = "4.6 kg",
                                   body = "iron", rollback = "0.15 mm" } },
  rear = { caliper = el.caliper { type = "sliding", pistons = { "34 mm" }, mass = "3 kg",
                                  body = "iron", rollback = "0.15 mm" } },
}
local big = stock:with { front = { caliper = el.caliper {
  type = "fixed", pistons = { "44 mm", "38 mm", "36 mm" }, mass = "3.6 kg", opening = "0.3 mm",
  rollback = "0.2 mm" } } }

local function run(car, base)
  return el.run { car = car, course = p.course, stint = p.stint:with { hot = 2 }, base = base,
                  limits = { pressure = "220 bar" } }
end

local before = run(stock)
print("stock: pedal travel " .. p.check(before, "car pedal travel").verdict)

local after = run(big, stock)
print(p.verdict(after))
print(p.page(after):match "travel %+%d+ %% on the unchanged master, .- effort %S+ %%")
assert(after.checks[1].name == "car pedal travel")
local area = (44 ^ 2 + 38 ^ 2 + 36 ^ 2) / 57 ^ 2 - 1 -- 0.44
assert(after.against.travel > 0.2 and after.against.travel < area)
assert(after.against.pressure < 0 and after.against.front_share > 0.05)

-- the milder twin: the next bore up, 15/16 in for 7/8 in: 1 - (7/8)^2 / (15/16)^2 = 13 % less
-- stroke for the same fluid and as much more effort for the same pressure
local next_up = run(big:with { pedal = { master = { bore = "23.8 mm" } } }, stock)
assert(math.abs(next_up.pedal.used / after.pedal.used - (22.2 / 23.8) ^ 2) < 0.02)
print(("the next bore up: pedal travel %s, %.0f %% less effort than stock"):format(
      p.check(next_up, "car pedal travel").verdict, -100 * next_up.against.effort))
