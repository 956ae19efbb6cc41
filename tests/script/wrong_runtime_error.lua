-- SPDX-License-Identifier: MIT
local t
print(t.x)
-- expect error: emberlap: wrong_runtime_error.lua:3: attempt to index a nil value (local 't')
