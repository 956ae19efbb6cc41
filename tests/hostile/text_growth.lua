-- SPDX-License-Identifier: MIT
-- A text that doubles, and many that share nothing.
-- expect error: out of memory: a script may use 256 MiB
local s = "x"
pcall(function() while true do s = s .. s end end)
s = s:sub(1, 1 << 20)
local kept = {}
for i = 1, 1000 do kept[i] = s .. i end
