-- SPDX-License-Identifier: MIT
-- Finalisers run with hooks off, some of them after the script: none can be had, neither at once
-- nor by adding __gc afterwards, nor through a metatable with an __index.
-- expect: refused
local function forever() while true do end end
local ok, why = pcall(setmetatable, {}, { __gc = forever })
assert(not ok and why:find("__gc is not for scripts"))
local late = {}
for _ = 1, 100 do setmetatable({}, late) end
late.__gc = forever
for _ = 1, 100 do setmetatable({}, setmetatable({}, { __index = { __gc = forever } })) end
local t = {}
for i = 1, 200000 do t[i % 100] = { i } end
print "refused"
