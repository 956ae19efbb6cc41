-- SPDX-License-Identifier: MIT
-- A hard pedal and no stop: road pads used far beyond their window. Gas and resin keep the faces
-- apart, friction falls from 0.46 to below 0.2, and the leg has to make up for it. Force goes with
-- 1/friction: 500 N at 0.42 become more than 800 N, past the 670 N that a leg gives lap after lap.
-- What is above that is braking not done, and the pads come first: they leave their window laps
-- before the leg gives out. The fluid has nothing to do with it.
-- status: 1
-- expect: FAILS: front pad face passes the top of its window on lap 3 (hot lap 2). Also passed:
-- expect: pedal effort
-- expect: the driver gives 670 N. Braking not done:
-- expect: effort of the first hot lap holds
-- expect: fluid holds
-- expect: a slower group: pad marginal, effort holds, nothing is left undone
-- expect: a pad inside its window: pad holds, effort holds, nothing is left undone
local p = require "tests.script.modules.pedals"

local friction = { { 20, 0.42 }, { 300, 0.46 }, { 450, 0.38 }, { 550, 0.26 }, { 650, 0.18 },
                   { 800, 0.15 } }
local road = { friction = friction, window = { "20 C", "480 C" }, thickness_now = "14 mm" }
local car = { abs = true, front = { pad = road }, rear = { pad = { friction = friction } } }

local run = p.run(car)
print((p.verdict(run):gsub("passed: ", "passed:\n")))
print(p.page(run):match "the driver gives 670 N%. Braking not done: %S+ MJ, first on lap %d+")
local pad, effort = p.check(run, "front pad"), p.check(run, "car pedal effort")
assert(run.checks[1].name == "front pad" and effort.verdict == "fails")
assert(effort.peak > 800 and effort.peak < 1000)
assert(run.pedal.shortfall_on_lap > pad.lap) -- the pads first, the leg laps later
-- some of a lap's braking, not most of it: only the hardest stops ask for so much
assert(run.pedal.shortfall > 0 and run.pedal.shortfall < 0.1 * run.energy)
local first = p.run(car, { hot = 1 })
print("effort of the first hot lap " .. p.check(first, "car pedal effort").verdict)
print("fluid " .. p.check(run, "front fluid").verdict)

local function twin(what, mild)
  assert(mild.verdict ~= "fails" and mild.pedal.shortfall == 0 and
         mild.pedal.shortfall_on_lap == nil)
  print(("%s: pad %s, effort %s, nothing is left undone"):format(what,
        p.check(mild, "front pad").verdict, p.check(mild, "car pedal effort").verdict))
end

-- the milder twins: the same pads at a pace of 80 %, and pads made for the track
twin("a slower group", p.run(car, { pace = { hot = 0.8 } }))
twin("a pad inside its window", p.run { abs = true, front = { pad = { thickness_now = "14 mm" } } })
