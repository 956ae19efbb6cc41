-- SPDX-License-Identifier: MIT
-- Coroutines within coroutines: each has a hook of its own, and each catches what ends the one
-- below it and goes on.
-- expect error: the script has run for too long
local cs = {}
for i = 1, 180 do
  cs[i] = coroutine.create(function()
    while true do
      pcall(function()
        if cs[i + 1] then coroutine.resume(cs[i + 1]) end
        while true do end
      end)
    end
  end)
end
coroutine.resume(cs[1])
while true do end
