-- SPDX-License-Identifier: MIT
-- next from the start of a large table that has been emptied: each call walks all of it. And walks
-- that lose their place, so that every step sorts all keys afresh.
-- expect error: the script has run for too long
local t = {}
for i = 1, 200000 do t["k" .. i] = true end
for i = 1, 199999 do t["k" .. i] = nil end
local u, some = {}, nil
for i = 1, 20000 do u["k" .. i] = i end
pcall(function() for k in next, u do next(u) some = k end end)
while true do
  for _ = 1, 100000 do next(t) end
end
