-- SPDX-License-Identifier: MIT
-- Blocks near the cap, asked for again and again: each refusal makes the collector walk the heap.
-- expect error: the script has run for too long
local kept = {}
for i = 1, 200000 do kept[i] = { i, tostring(i) } end
while true do
  pcall(string.rep, "x", 120 * 1024 * 1024)
  pcall(string.rep, "x", 2 ^ 40 | 0)
end
