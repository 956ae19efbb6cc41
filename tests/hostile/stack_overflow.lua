-- SPDX-License-Identifier: MIT
-- Recursion without a tail, of Lua, of metamethods and of C, up to every limit there is.
-- expect: every limit held
local function deep() return 1 + deep() end
assert(not pcall(deep))
local add = setmetatable({}, {})
getmetatable(add).__add = function(x, y) return x + y end
assert(not pcall(function() return add + 1 end))
local function sub(s) return (s:gsub(".", sub)) end
assert(not pcall(sub, "x"))
local function co() return coroutine.wrap(co)() end
assert(not pcall(co))
print "every limit held"
