-- SPDX-License-Identifier: MIT
assert(load("\27Lua", "x", "b"))
