-- SPDX-License-Identifier: MIT
-- Arguments whose metamethods change, empty, grow and never end while the binder reads them.
-- expect: never asked
local el = require "emberlap"
local m = require "modules.coupe"
local asked = 0
local keys = { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 }, 
               friction = { { 20, 0.4 }, { 600, 0.4 } } }
local function attack(t)
  local function bite() asked = asked + 1 for k in next, t do t[k] = nil end while true do end end
  return setmetatable(t, { __index = bite, __newindex = bite, __len = bite, __pairs = bite, __call = bite,
                           __tostring = bite, __eq = bite, __name = bite, __close = bite, __metatable = "mine" })
end
local copy = {}
for k, v in pairs(keys) do copy[k] = type(v) == "table" and attack { v[1], v[2] } or v end
el.pad(attack(copy))
pcall(el.pad, attack {})
pcall(el.car, attack { front = attack {}, rear = attack { attack {} } })
pcall(m.car.with, m.car, attack { front = attack { pad = attack { thickness_now = "9 mm" } } })
pcall(el.run, attack { car = m.car, course = m.course, stint = attack {} })
pcall(el.network, attack { nodes = attack { a = attack { capacity = 1 } }, heat = attack { a = attack { attack { 0, 1 } } } })
pcall(m.fluid.boils_at, m.fluid, attack { water = 0.01 })
print(asked == 0 and "never asked")
