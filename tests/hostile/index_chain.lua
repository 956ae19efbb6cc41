-- SPDX-License-Identifier: MIT
-- Metatables in a circle, and chains of __index as long as they get.
-- expect error: the script has run for too long
local a, b = {}, {}
setmetatable(a, { __index = b, __newindex = b })
setmetatable(b, { __index = a, __newindex = a })
assert(not pcall(function() return a.x end) and not pcall(function() a.x = 1 end))
local chain = {}
for _ = 1, 1900 do chain = setmetatable({}, { __index = chain }) end
while true do local _ = chain.x end
