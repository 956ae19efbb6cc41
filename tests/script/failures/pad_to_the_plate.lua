-- SPDX-License-Identifier: MIT
-- Pads down to the plate before the event is over: 6.4 mm at the gate, six sessions. A quick track
-- pad loses some 300 mm3 of its material for each MJ; a front wheel takes about 10 MJ in seven
-- laps, both pads together 124 cm2: a quarter of a millimetre for a session, 1.6 mm for the event.
-- Pads are changed at 5 mm, the thickness of their plate.
-- status: 1
-- expect: FAILS: front pads wear out: a set lasts 5.2 of 6 sessions until they are changed at 5
-- expect: 2 sets for the event
-- expect: three sessions: front pad wear marginal, 1 set
-- expect: fresh pads: front pad wear holds, 1 set
local p = require "tests.script.modules.pedals"

local function run(now, sessions)
  return p.run({ front = { pad = { wear = "300 mm3/MJ", thickness_now = now } } }, {},
               { event = { sessions = sessions } })
end

local gone = run("6.4 mm", 6)
print(p.verdict(gone))
print(("%d sets for the event"):format(gone.front.pad.sets))
assert(gone.checks[1].name == "front pad wear" and gone.checks[2].verdict ~= "fails")
local session = 6.4e-3 - gone.front.pad.left
assert(session > 0.2e-3 and session < 0.35e-3)
assert(math.abs(gone.front.pad.left_event - (6.4e-3 - 6 * session)) < 1e-6)

-- the milder twins: half the day, or pads as they come from their box
local function twin(what, mild)
  print(("%s: front pad wear %s, %d set"):format(what, p.check(mild, "front pad wear").verdict,
                                                 mild.front.pad.sets))
  assert(mild.verdict ~= "fails")
end
twin("three sessions", run("6.4 mm", 3))
twin("fresh pads", run("16 mm", 6))
