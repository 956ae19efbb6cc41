-- SPDX-License-Identifier: MIT
-- ABS comes early: pads that grab, on sticky tyres. A stab of the pedal presses the front before
-- the load has moved there (0.15 s), so the front locks at less than the car can do. How much less
-- goes with how long the stab takes to reach the locking force: 300 N at 1500 N/s are 0.2 s, 550 N
-- are 0.37 s. Without any load moved the share were 1 - grip h / (L front share), 0.5 here: so a
-- stab costs a fifth to a quarter, and the milder pad, at the same pressure, less.
-- Limit and band are those of a system set up for a quarter at most, not the defaults.
-- status: 1
-- expect: FAILS: a stab of the pedal locks the front at
-- expect: ABS or lock-up comes early
-- expect: milder pads: bite holds
local p = require "tests.script.modules.pedals"

local function car(friction)
  return { abs = true, front_weight = "42 %", cg_height = "50 cm", wheelbase = "2.35 m",
           tyre = { grip = 1.6 }, pedal = { stab = "1500 N/s", balance = 0.56 },
           front = { pad = { friction = friction } }, rear = { pad = { friction = friction } } }
end
local limits = { limits = { bite = "80 %", bite_band = "3 %" } }

local grabs = p.run(car { { 20, 0.56 }, { 200, 0.72 }, { 700, 0.66 } }, { hot = 2 }, limits)
local verdict = p.verdict(grabs)
print(verdict)
print(verdict:match "ABS or lock%-up comes early")
assert(grabs.checks[1].name == "car bite" and grabs.checks[2].verdict ~= "fails")
-- at the same pressure: pads change the force of the foot, not the share of either axle
assert(grabs.balance.bite > 0.5 and grabs.balance.bite < 0.8)
assert(grabs.pedal.effort < 350)

-- the milder twin: half the friction, the foot has to come further
local mild = p.run(car { { 20, 0.34 }, { 300, 0.38 }, { 700, 0.36 } }, { hot = 2 }, limits)
print("milder pads: bite " .. p.check(mild, "car bite").verdict)
assert(mild.pedal.effort > 1.6 * grabs.pedal.effort and mild.pedal.shortfall == 0)
assert(mild.balance.bite > grabs.balance.bite + 0.05)
