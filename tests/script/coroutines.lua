-- SPDX-License-Identifier: MIT
-- Coroutines, pcall and xpcall work, across yields too.
local co = coroutine.wrap(function()
  local ok, why = pcall(function()
    coroutine.yield(1)
    error "later"
  end)
  coroutine.yield(why)
  return select(2, xpcall(function() coroutine.yield(3) return 4 end, print))
end)
-- expect: 1	coroutines.lua:6: later	3	4
print(co(), co(), co(), co())
-- expect: false	bad: x
print(xpcall(function() error("x", 0) end, function(e) return "bad: " .. e end))
