-- SPDX-License-Identifier: MIT
-- The rear steps out late in the session: front pads fade, rear pads stay cool and do not. The
-- front share of the force goes with the friction of the two: 0.75 with equal pads, and 0.69 when
-- the fronts have fallen from 0.48 to 0.36. The ideal one at the first lock, some 1.35 g, is 0.70:
-- 48 % of the weight and 0.18 of it for each g, less what the laden tyres lose of their grip.
-- status: 1
-- expect: FAILS: the rear axle locks before the front with the pads as on lap 7 in the dry
-- expect: first hot lap alone: balance holds
-- expect: bar towards the front, 6 turns: balance holds
local p = require "tests.script.modules.pedals"

local fade = { friction = { { 20, 0.38 }, { 300, 0.48 }, { 600, 0.45 }, { 800, 0.30 } } }
local function car(turns)
  return { tyre = { grip = 1.45 }, front = { pad = fade },
           pedal = { balance = 0.55 + turns * 0.012, per_turn = "1.2 %" } }
end

local run = p.run(car(0))
print(p.verdict(run))
local check = p.check(run, "car balance")
assert(run.checks[1].name == "car balance" and check.lap == 7)
assert(check.margin < 0 and check.margin > -0.05)
assert(run.balance.turns > 0) -- towards the front

-- the same set-up, before anything has faded
local fresh = p.run(car(0), { hot = 1 })
print("first hot lap alone: balance " .. p.check(fresh, "car balance").verdict)
assert(fresh.balance.ahead > run.balance.ahead + 0.03)

-- the milder twin: the whole turns that the run names. Fronts that do more work fade more, so less
-- than the three points it aims for are left
local turns = math.ceil(run.balance.turns)
local mild = p.run(car(turns))
assert(mild.verdict ~= "fails" and mild.balance.ahead > run.balance.ahead + 0.03)
print(("bar towards the front, %d turns: balance %s"):format(turns,
      p.check(mild, "car balance").verdict))
