-- SPDX-License-Identifier: MIT
-- More car: what mass, power, grip and downforce ask of the brakes, on two courses without a log.
--
-- The question: over the winter the coupe gets heavier, stronger, grippier and wings, one after the
-- other. Its layout is known, its lap is worked out. What does each step do to the energy of a lap,
-- to the peaks, to what gives out first, and does the brake then hold the car back?
--
-- Everything here is a scenario of our own, courses too.

local el = require "emberlap"
local c = require "parts.coupe"

local car = c.with_pedal:with { power = "200 kW", tyre = { grip = 1.15 } }

-- Each step on top of those before it.
local steps = {
  { "as it was", {} },
  { "+150 kg", { load = { ballast = "150 kg" } } },
  { "+80 kW", { power = "280 kW" } },
  { "+0.2 grip", { tyre = { grip = 1.35 } } },
  { "+1.2 m2 of wing", { aero = { downforce_area = "1.2 m2", drag_area = "0.85 m2" } } },
}

local stint = c.stint:with { hot = tonumber(el.args.hot or 8) }
local energy = {}

for _, name in ipairs { "nettlewick_club", "ostrel_sweep" } do
  local course = el.track("tracks/" .. name .. ".yaml")
  local now = car
  print(name)
  for i, step in ipairs(steps) do
    now = now:with(step[2])
    local run = el.run { car = now, course = course, stint = stint }
    local hot = run.laps[#run.laps - 1] -- the last hot lap
    energy[#energy + 1] = hot.energy
    print(("  %-16s %6.2f s  %5.2f MJ a lap  front core %4.0f C  pad %4.0f C  brakes cost %.2f s  %s, %s")
      :format(step[1], hot.time, hot.energy / 1e6, run.front.rotor.core.peak, run.front.pad.peak,
        hot.lost_to_brakes, run.verdict, run.checks[1].name))
  end
end

-- expect: nettlewick_club
-- expect: ostrel_sweep
-- status: 1
-- More mass and more power put more into the brakes everywhere. Grip and wings need not: on a course
-- that flows the car keeps more of its speed through the turns.
for course = 0, 1 do
  for i = 1, 2 do
    assert(energy[course * #steps + i + 1] > energy[course * #steps + i], steps[i + 1][1])
  end
end
