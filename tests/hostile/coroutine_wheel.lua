-- SPDX-License-Identifier: MIT
-- Fresh coroutines that each do too little for their hook to fire, and thousands that wait.
-- expect error: the script has run for too long
local waiting = {}
for i = 1, 3000 do
  waiting[i] = coroutine.wrap(function() while true do pcall(coroutine.yield) end end)
end
while true do
  pcall(coroutine.wrap(function() for _ = 1, 100 do end end))
  for i = 1, #waiting do pcall(waiting[i]) end
end
