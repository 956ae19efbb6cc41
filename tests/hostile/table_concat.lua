-- SPDX-License-Identifier: MIT
-- table.concat of 2^40 items that a C function makes up: no Lua instruction runs meanwhile.
-- expect error: the script has run for too long
while true do pcall(table.concat, setmetatable({}, { __index = rawlen }), "", 1, 1 << 40) end
