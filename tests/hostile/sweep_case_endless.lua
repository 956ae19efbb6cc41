-- SPDX-License-Identifier: MIT
-- A case of a sweep that raises, yields, gives nonsense, sweeps itself, and then never returns.
-- engine: 4
-- expect error: the script has run for too long
local el = require "emberlap"
local m = require "modules.coupe"
local case
local function sweep()
  return pcall(el.sweep, { over = { mass = { 1, 2, 3 } }, case = function(x) return case(x) end })
end
for _, value in ipairs { 0, "x", {}, print, el.none, { car = m.car }, { car = {}, course = m.course } } do
  case = function() return value end
  sweep()
end
case = function() error(setmetatable({}, { __tostring = function() while true do end end })) end
sweep()
case = function() return coroutine.yield() end
coroutine.wrap(sweep)()
local depth = 0
case = function()
  depth = depth + 1
  if depth < 30 then sweep() end
  return { car = m.car, course = m.course, stint = m.stint }
end
sweep()
case = function() while true do pcall(string.rep, "x", 3) end end
while true do sweep() end
