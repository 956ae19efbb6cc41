-- SPDX-License-Identifier: MIT
-- The question: the rear of the coupe gets light under braking. One pad step down at the rear, to a
-- compound with 85 % of the friction: what does it do to balance, first lock, effort and heat?
--
-- Why it comes out as it does: at one pressure a brake's force goes with its friction. With s of
-- the braking in front, 0.85 of the friction at the rear makes the front share
-- s / (s + 0.85 (1 - s)), three points more, and the foot has to find what the rear no longer
-- gives: 1 / (s + 0.85 (1 - s)), four per cent. Heat goes where the force goes: rears cooler,
-- fronts hotter. The step buys stability with front temperature.
-- expect: front share
-- expect: effort for the same stop +4 %
-- expect: locks first: rear before, front after
-- expect: rear core cooler by
-- expect: front core hotter by
local el = require "emberlap"
local c = require "parts.coupe"

-- the bar a little too far back for these pads
local car = c.with_pedal:with { pedal = { balance = "49 %" } }
local step = 0.85
local down = {}
for i, point in ipairs { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.46 }, { 800, 0.34 } } do
  down[i] = { point[1], step * point[2] }
end
local run = el.run { car = car:with { rear = { pad = { friction = down } } }, base = car,
                     course = c.course, stint = c.stint:with { hot = 8 } }
local before = run.base

-- at 1 g with warm pads, against what the shares say
local s = car:balance {}.front
local share = s / (s + step * (1 - s))
assert(math.abs(run.against.front_share - (share - s)) < 0.002)
assert(math.abs(1 + run.against.effort - 1 / (s + step * (1 - s))) < 0.01)
print(("front share %.1f to %.1f %% of the braking, at 1 g"):format(100 * s,
      100 * (s + run.against.front_share)))
print(("effort for the same stop %+.0f %%"):format(100 * run.against.effort))

-- who locks first in the worst state of the stint
local function first(r) return r.balance.ahead < 0 and "rear" or "front" end
print(("locks first: %s before, %s after"):format(first(before), first(run)))
assert(run.balance.ahead - before.balance.ahead > 0.015)

local front = run.front.rotor.core.peak - before.front.rotor.core.peak
local rear = run.rear.rotor.core.peak - before.rear.rotor.core.peak
print(("rear core cooler by %.0f K of %.0f C"):format(-rear, before.rear.rotor.core.peak))
print(("front core hotter by %.0f K of %.0f C"):format(front, before.front.rotor.core.peak))
assert(front > 10 and rear < -10)
