-- SPDX-License-Identifier: MIT
-- Prints for ever, in pcall, in large pieces and in small ones.
-- expect error: the script has printed too much: 64 MiB is the most
local large = ("x"):rep(1 << 20)
for _ = 1, 10000 do print(1) end
while true do pcall(print, large) end
