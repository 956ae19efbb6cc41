-- SPDX-License-Identifier: MIT
-- Runs that outlive the coroutines that made them, and are read, saved and walked from others.
-- engine: 4
-- writes: late.csv
-- expect: the same
local m = require "modules.coupe"
local el = require "emberlap"
local made = {}
for i = 1, 3 do
  local co = coroutine.wrap(function()
    made[i] = el.run { car = m.car, course = m.course, stint = m.stint }
    coroutine.yield()
    error "never reached"
  end)
  co()
end
for i = 1, 50000 do local _ = { i, tostring(i) } end
for i = 1, 3 do
  coroutine.wrap(function() made[i] = { made[i], made[i].front.rotor.core.peak } end)()
end
coroutine.wrap(function() made[1][1]:save "late.csv" end)()
print(made[1][2] == made[2][2] and made[2][2] == made[3][2] and "the same")
