-- SPDX-License-Identifier: MIT
-- Old fluid lives through ten hot laps and boils in the paddock: nothing cooled it on the way in.
-- status: 1
-- expect note: a limit is passed in 1 of 2 runs; the worst: front fluid
-- expect: FAILS: front fluid passes its boiling point as it is now, parked,
-- expect: on track, below; parked, above
-- expect: vapour
-- expect: one lap to cool down: front fluid marginal
local f = require "tests.script.modules.failures"
local el = require "emberlap"
local old = { fluid = el.fluid { grade = "DOT 4", water = "4 %" } }
local straight_in = f.run(old, { hot = 10, cool = 0 })
print(f.verdict(straight_in))
local fluid = straight_in.front.fluid
assert(fluid.boils_on_lap == nil and fluid.wet_passed_on_lap == nil)
assert(fluid.boils_parked > 30 and fluid.boils_parked < 300)
if fluid.track_peak < 150 and fluid.parked_peak > 158 then
  print "on track, below; parked, above"
end
print(f.page(straight_in):match "can hold more than %S+ litres of vapour")

-- the milder twin: the same laps and the same fluid, and a lap to cool down
local cooled = f.run(old, { hot = 10, cool = 1 })
local check = f.check(cooled, "front fluid")
print("one lap to cool down: " .. check.name .. " " .. check.verdict)
assert(cooled.front.fluid.boils_parked == nil)
