-- SPDX-License-Identifier: MIT
local t
print(t.x)
