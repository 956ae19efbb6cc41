-- SPDX-License-Identifier: MIT
-- Heat that is a function which raises, yields, simulates itself, and then never returns.
-- expect error: the script has run for too long
local el = require "emberlap"
local heat = function() return 1 end
local net = el.network { nodes = { a = { capacity = 10 } }, heat = { a = function(t) return heat(t) end } }
local function try() return pcall(net.simulate, net, { duration = 5 }) end
assert(try())
for _, value in ipairs { 0 / 0, 1 / 0, "x", {}, print, true } do
  heat = function() return value end
  assert(not try())
end
heat = function() error(setmetatable({}, { __tostring = function() while true do end end })) end
assert(not try())
heat = function() return coroutine.yield(1) end
assert(not coroutine.wrap(try)())
heat = function() return net:simulate { duration = 5 }.a.final end
assert(not try())
heat = function() while true do end end
while true do try() end
