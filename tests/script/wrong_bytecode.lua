-- SPDX-License-Identifier: MIT
assert(load("\27Lua", "x", "b"))
-- expect error: emberlap: wrong_bytecode.lua:2: attempt to load a binary chunk (mode is 't')
