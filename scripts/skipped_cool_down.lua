-- SPDX-License-Identifier: MIT
-- The question: a late flag, and the driver comes straight in, or cools down at nine tenths. What
-- does the skipped lap cost, and how slow must one be to count?
--
-- Why it comes out as it does: braking goes with pace squared and a little more (drag and engine
-- take a larger share of a gentler stop), while the air that cools goes with pace to the 0.8 at
-- most. A lap at nine tenths still has some 0.8 of the braking and hardly counts; at six tenths
-- there is less than 0.36 of it. Slower yet gains the fluid nothing: it then peaks on the lap
-- itself, from heat that is on its way already. The caliper's body gains to the end.
-- The page says beforehand what skipping would do (SESSION PLAN); driving it must agree.
-- expect: plan: skipped, the fluid has 2
-- expect: driven: skipped 2
-- expect: SWEEP of pace (6): 6 rows
-- expect: at nine tenths it is worth less than a fifth of that
-- expect: slower than six tenths: less than 1 K for the fluid
local el = require "emberlap"
local c = require "parts.coupe"

local car = c.car:with { front = { pad = { thickness_now = "8 mm" } } }

-- what the plan says, and what it is when driven
local run = el.run { car = car, course = c.course, stint = c.stint }
local skipped = el.run { car = car, course = c.course, stint = c.stint:with { cool = 0 } }
local with, without = run.front.fluid.margin, skipped.front.fluid.margin
print(("plan: skipped, the fluid has %.0f K left"):format(run.plan.skip_margin))
print(("driven: skipped %.0f K, not skipped %.0f K"):format(without, with))
assert(math.abs(run.plan.skip_margin - without) < 0.5)

local grid = el.sweep {
  over = { pace = { 0.9, 0.8, 0.7, 0.6, 0.5, 0.4 } },
  case = function(x)
    return { car = car, course = c.course, stint = c.stint:with { pace = { cool = x.pace } } }
  end,
  measures = { "closest", "front.fluid.margin", "front.caliper.peak", "front.rotor.hat.peak" },
}
print(grid)

for i = 2, #grid do
  assert(grid[i]["front.caliper.peak"] < grid[i - 1]["front.caliper.peak"])
end
local nine, six, four = grid[1], grid[4], grid[6]
local worth = nine["front.fluid.margin"] - without
assert(worth > 0 and worth < (with - without) / 5)
print(("at nine tenths it is worth less than a fifth of that: %.1f of %.0f K"):format(worth,
      with - without))
local more = four["front.fluid.margin"] - six["front.fluid.margin"]
assert(math.abs(more) < 1)
print "slower than six tenths: less than 1 K for the fluid"
