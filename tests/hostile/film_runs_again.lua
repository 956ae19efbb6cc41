-- SPDX-License-Identifier: MIT
-- A film law that runs the car it belongs to, whose film law runs it: el.run within el.run.
-- engine: 4
-- expect: back again
local m = require "modules.coupe"
local el = require "emberlap"
local runs, depth = 0, 0
local function film(v)
  depth = depth + 1
  if depth < 30 and runs < 3 then
    local ok = pcall(function()
      local car = m.car:with { front = { cooling = { caliper = film } } }
      return el.run { car = car, course = m.course, stint = m.stint }.verdict
    end)
    runs = runs + (ok and 1 or 0)
  end
  depth = depth - 1
  return 20 + v
end
pcall(function()
  local car = m.car:with { front = { cooling = { caliper = film } } }
  return el.run { car = car, course = m.course, stint = m.stint }
end)
print(runs > 0 and depth == 0 and "back again")
