-- SPDX-License-Identifier: MIT
-- Every name of a result, and that they agree with each other.
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }

local function rises(x) return x > 20 and x < 2000 end
for _, axle in ipairs { run.front, run.rear, run.front.left, run.rear.right } do
  for _, node in ipairs { axle.rotor.face, axle.rotor.core, axle.rotor.hat, axle.pad, axle.caliper,
                          axle.fluid } do
    assert(rises(node.peak) and node.peak_at > 0)
    assert(node.peak == math.max(node.track_peak, node.parked_peak))
  end
  local f = axle.fluid
  assert(math.abs(f.margin_wet - (200 - f.peak)) < 1e-9) -- at sea level, wet = "200 C"
  assert(f.margin == math.min(f.margin_wet, f.margin_now))
  assert(f.wet_passed_on_lap == nil and f.boils_on_lap == nil)
  assert(f.wet_passed_parked == nil and f.boils_parked == nil)
end
-- expect: peaks agree
print "peaks agree"

-- expect: 4 laps: out hot hot cool
local kinds, energy, top = {}, 0, 0
for i, lap in ipairs(run.laps) do
  kinds[i] = lap.kind
  energy = energy + lap.energy
  top = math.max(top, lap.front.face)
  assert(lap.number == i and lap.time > 0 and lap.braking_time > 0 and lap.top_speed > 8)
  assert(i == 1 or math.abs(lap.start - run.laps[i - 1].start - run.laps[i - 1].time) < 1e-6)
end
print(#run.laps .. " laps: " .. table.concat(kinds, " "))
assert(top == run.front.rotor.face.peak)
assert(energy <= run.energy) -- the stop in the pits is in the sum
assert(math.abs(run.residual) < 1e-9)

-- expect: 14 checks
print(#run.checks .. " checks")
local names = {}
for _, c in ipairs(run.checks) do
  local lower = c.kind == "cold pad" or c.kind == "pad wear"
  local left = lower and c.peak - c.limit or c.limit - c.peak
  assert(math.abs(left - c.margin) < 1e-9 and c.name == c.axle .. " " .. c.kind)
  names[c.name] = c
end
assert(names["front fluid"].margin == run.front.fluid.margin)
assert(names["rear rotor"].peak == run.rear.rotor.core.peak)
-- expect: true	2
print(run.more.known, run.more.hot_laps)
