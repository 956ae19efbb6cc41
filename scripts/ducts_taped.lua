-- SPDX-License-Identifier: MIT
-- The question: rain is coming. How much of the front ducts should be taped, and what happens when
-- it dries up and the tape is forgotten?
--
-- Why it comes out as it does: in the wet the pace is three quarters, so the brakes get about half
-- the heat (pace squared), and with ducts made for a dry day the pads never get as hot as they want
-- to be. Tape starves the hose, late: half the inlet costs an eighth of the air and nine tenths
-- most of it, since its loss grows as (1/(1 - taped) - 1) squared. On a dry track the same tape
-- lets fluid and faces rise. The plate that seals the hose to the rotor's eye stays: with its inlet
-- shut it also keeps the rotor's own pumping out, which is worse than no duct at all.
-- status: 1
-- expect note: a limit is passed in 1 of 1 run
-- expect: SWEEP of taped (5) by track (2): 10 rows
-- expect: A front fluid
-- expect: half the inlet taped costs 12 % of the air, nine tenths 80 %
-- expect: wet: faces reach 360 C from 90 % on
-- expect: dry: as it was marginal, with that tape forgotten fails by the front fluid
-- expect: shut: 
local el = require "emberlap"
local c = require "parts.coupe"

local bite = 360 -- C at the face from which this pad does what its curve says, by its maker
local hose = el.duct { bore = "76 mm", length = "1.4 m", bends = 2, inlet = "nose", aim = "eye" }
local car = c.car:with {
  fluid = el.fluid { dry = "268 C", wet = "162 C", water = "1.5 %" },
  front = { duct = hose, pad = { thickness_now = "9 mm" } },
}
local stints = { wet = c.stint:with { pace = { hot = 0.75, out = 0.6 }, ambient = "12 C" },
                 dry = c.stint:with { ambient = "28 C" } }

local grid = el.sweep {
  over = { taped = { "0 %", "50 %", "75 %", "90 %", "100 %" }, track = { "wet", "dry" } },
  case = function(x)
    return { car = car:with { front = { duct = { taped = x.taped } } }, course = c.course,
             stint = stints[x.track] }
  end,
  measures = { "closest", "front.fluid.margin", "front.pad.peak", "front.duct_flow",
               "front.rotor.core.peak" },
}
print(grid)

-- the rows in order: wet and dry at each share of tape
local from
for i = 1, #grid, 2 do
  local wet, dry = grid[i], grid[i + 1]
  if i > 1 then
    assert(wet["front.pad.peak"] > grid[i - 2]["front.pad.peak"])
    assert(dry["front.fluid.margin"] < grid[i - 1]["front.fluid.margin"])
  end
  if wet["front.pad.peak"] >= bite then from = from or i end
end
local air = grid[1]["front.duct_flow"]
print(("half the inlet taped costs %.0f %% of the air, nine tenths %.0f %%"):format(
      100 - 100 * grid[3]["front.duct_flow"] / air, 100 - 100 * grid[7]["front.duct_flow"] / air))
print(("wet: faces reach %d C from %s on; without tape they stop at %.0f C"):format(bite,
      grid[from].taped, grid[1]["front.pad.peak"]))
print(("dry: as it was %s, with that tape forgotten %s by the %s"):format(grid[2].verdict,
      grid[from + 1].verdict, grid[from + 1].limit))
local none = el.run { car = car:with { front = { duct = el.none } }, course = c.course,
                      stint = stints.dry }
local worse = grid[10]["front.rotor.core.peak"] - none.front.rotor.core.peak
assert(worse > 10)
print(("shut: %.0f K of core worse than no duct"):format(worse))
