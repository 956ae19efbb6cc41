-- SPDX-License-Identifier: MIT
-- Numeric loops that overflow, or never get anywhere.
-- expect error: the script has run for too long
for _ = math.maxinteger - 1, math.maxinteger do end
for _ = 1, 0 / 0 do error "never" end
assert(not pcall(load "for i = 1, 2, 0 do end"))
for _ = 1.0, math.huge, 1e-300 do end
