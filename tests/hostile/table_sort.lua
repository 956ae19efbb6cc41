-- SPDX-License-Identifier: MIT
-- table.sort of 2^31 places, compared by a C function; and by one that never agrees with itself.
-- expect error: the script has run for too long
local wild = {}
for i = 1, 1000 do wild[i] = i end
for _ = 1, 20 do pcall(table.sort, wild, function() return math.random() < 0.5 end) end
local long = setmetatable({}, { __len = function() return (1 << 31) - 2 end })
while true do pcall(table.sort, long, rawequal) end
