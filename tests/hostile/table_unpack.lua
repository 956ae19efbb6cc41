-- SPDX-License-Identifier: MIT
-- A stack as full as it gets, again and again, and more results than a stack can hold.
-- expect error: the script has run for too long
assert(not pcall(table.unpack, {}, 1, 1e8 | 0))
assert(not pcall(string.byte, ("x"):rep(1e7 | 0), 1, -1))
local function count(...) return select("#", ...) end
while true do pcall(count, table.unpack({}, 1, 200000)) end
