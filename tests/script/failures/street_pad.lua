-- SPDX-License-Identifier: MIT
-- A pad sold for road and track, in a fast group: out of its window in the third hot lap.
-- status: 1
-- expect note: a limit is passed in 1 of 2 runs; the worst: front pad
-- expect: FAILS: front pad face passes the top of its window on lap 4 (hot lap 3)
-- expect: fluid holds, rotor holds
-- expect: a slower group: front pad holds
local f = require "tests.script.modules.failures"
local curve = { { 20, 0.38 }, { 300, 0.42 }, { 450, 0.36 }, { 600, 0.22 } }
local street = {
  front = { pad = { friction = curve, thickness_now = "14 mm", window = { "20 C", "540 C" } } },
  rear = { pad = { friction = curve } },
}
local fast = f.run(street, { hot = 5 })
print(f.verdict(fast))
assert(fast.laps[3].front.pad < 540 and fast.laps[4].front.pad > 540)
local fluid, rotor = f.check(fast, "front fluid"), f.check(fast, "front rotor")
print("fluid " .. fluid.verdict .. ", rotor " .. rotor.verdict)

-- the milder twin: the same pads, a pace of 85 %
local slow = f.run(street, { hot = 5, pace = { hot = 0.85 } })
print("a slower group: front pad " .. f.check(slow, "front pad").verdict)
