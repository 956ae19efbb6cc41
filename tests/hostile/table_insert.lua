-- SPDX-License-Identifier: MIT
-- table.insert and table.remove in a table that says it is 2^53 long.
-- expect error: does not stop when asked
local long = setmetatable({}, { __len = function() return 1 << 53 end })
pcall(table.remove, long, 1)
pcall(table.insert, long, 1, 1)
