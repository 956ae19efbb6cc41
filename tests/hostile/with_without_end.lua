-- SPDX-License-Identifier: MIT
-- Changed copies of changed copies, each kept, and each a little deeper.
-- expect error: the script has run for too long
local m = require "modules.coupe"
local car, kept = m.car, {}
while true do
  local patch = { front = { pad = { thickness_now = (8 + #kept % 5) .. " mm" } } }
  car = car:with(patch)
  kept[#kept + 1] = car
  pcall(car.with, car, { front = { caliper = { pistons = kept } } })
  pcall(car.with, car, { front = car, rear = { rotor = car } })
end
