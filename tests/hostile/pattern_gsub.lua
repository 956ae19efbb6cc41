-- SPDX-License-Identifier: MIT
-- The same within gsub and gmatch, behind a pcall and a replacement that starts another.
-- expect error: does not stop when asked
local s, p = ("a"):rep(20000), ("a-"):rep(30) .. "b"
local function again(x) return pcall(string.gsub, x .. s, p, again) end
while true do pcall(string.gsub, s, "a", again) for _ in s:gmatch(p) do end end
