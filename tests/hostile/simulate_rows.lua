-- SPDX-License-Identifier: MIT
-- Simulations of more steps, rows and nodes than are run, and as many as are.
-- engine: 8
-- expect error: the script has run for too long
local el = require "emberlap"
local nodes = {}
for i = 1, 500 do nodes["n" .. i] = { capacity = 10 } end
local wide = el.network { nodes = nodes }
local one = el.network { nodes = { a = { capacity = 10 } }, heat = { a = { { 0, 1 }, { 1e6, 2 } } } }
assert(not pcall(wide.simulate, wide, { duration = 1e8, every = 1e8, step = 1e-6 }))
assert(not pcall(wide.simulate, wide, { duration = 1e6, every = 1e-6 }))
assert(not pcall(one.simulate, one, { duration = 0 / 0 }) and not pcall(one.simulate, one, { duration = 1e300 }))
local kept = {}
while true do
  pcall(function() kept[#kept + 1] = one:simulate { duration = 900000, every = 1, step = 1 } end)
end
