-- SPDX-License-Identifier: MIT
-- The question: a dyno sheet gives the pads' friction as a fit, not as four points in a leaflet.
-- What does a weaker pad change: heat, or the foot?
--
-- Why it comes out as it does: how much heat there is, is decided by the car and how it slows, not
-- by the pad. With four fifths of the friction on both axles the driver presses 1/0.8 as hard, and
-- every temperature stays. Weaker in front only, the front's share s goes to 0.8 s / (1 - 0.2 s):
-- fronts cooler, rears hotter, and the balance moves towards the rear. So a pad is chosen by its
-- friction for foot and balance, and by its window for heat.
-- expect: points for the law: the same within 1 K
-- expect: both axles weaker: effort +25 %
-- expect: no core moved by 1 K
-- expect: front only weaker: effort +17 %
local el = require "emberlap"
local c = require "parts.coupe"

-- T is the temperature of the face in C; the fit of an invented sheet
local function dyno(T) return 0.47 - 2e-7 * (T - 320) ^ 2 end
local function weaker(T) return 0.8 * dyno(T) end
local points = {}
for T = 0, 900, 50 do points[#points + 1] = { T, dyno(T) } end

local function drive(front, rear)
  local car = c.with_pedal:with { front = { pad = { friction = front } },
                                  rear = { pad = { friction = rear } } }
  return el.run { car = car, course = c.course, stint = c.stint:with { hot = 4 } }, car
end
local law, car = drive(dyno, dyno)

local function against(what, run)
  local effort = run.pedal.effort / law.pedal.effort
  local front = run.front.rotor.core.peak - law.front.rotor.core.peak
  local rear = run.rear.rotor.core.peak - law.rear.rotor.core.peak
  local share = run.balance.front - law.balance.front
  print(("%s: effort %+.0f %%"):format(what, 100 * (effort - 1)))
  if math.abs(front) < 1 and math.abs(rear) < 1 then
    print "  no core moved by 1 K"
  else
    print(("  front core %+.0f K, rear core %+.0f K, front share %+.1f points"):format(front,
          rear, 100 * share))
  end
  return effort, front, rear, share
end
local table_of = drive(points, points)
assert(math.abs(table_of.front.pad.peak - law.front.pad.peak) < 1)
print "points for the law: the same within 1 K"

local effort, front, rear, share = against("both axles weaker", (drive(weaker, weaker)))
assert(math.abs(effort - 1 / 0.8) < 0.01)
assert(math.abs(front) < 1 and math.abs(rear) < 1 and math.abs(share) < 0.002)

effort, front, rear, share = against("front only weaker", (drive(weaker, dyno)))
local s = law.balance.front
assert(math.abs(effort - 1 / (1 - 0.2 * s)) < 0.03)
assert(math.abs(share - (0.8 * s / (1 - 0.2 * s) - s)) < 0.01)
assert(front < -5 and rear > 10)
