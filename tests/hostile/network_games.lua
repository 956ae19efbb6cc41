-- SPDX-License-Identifier: MIT
-- Networks of too many nodes and links, with names and numbers that make no sense.
-- expect: refused
local el = require "emberlap"
local many, links = {}, {}
for i = 1, 501 do many["n" .. i] = { capacity = 10 } end
assert(not pcall(el.network, { nodes = many }))
many.n501 = nil
for i = 1, 20000 do links[i] = { from = "n" .. (1 + i % 500), to = "n" .. (1 + i * 7 % 499), conductance = 1 } end
pcall(el.network, { nodes = many, links = links })
for _, nodes in ipairs { {}, { { capacity = 1 } }, { a = 1 }, { a = { capacity = 0 } }, { a = { capacity = -1 } },
                         { a = { capacity = 1 / 0 } }, { a = { capacity = "x" } }, { ambient = { capacity = 1 } },
                         { [""] = { capacity = 1 } }, { [("x"):rep(1 << 16)] = { capacity = 1 } },
                         { ["a\0b"] = { capacity = 1 } }, { [1.5] = { capacity = 1 } }, el.none, "x", print } do
  assert(not pcall(el.network, { nodes = nodes }))
end
assert(not pcall(el.network, { nodes = { a = { capacity = 1 } }, links = { { from = "a", to = "a", conductance = 1 } } }))
assert(not pcall(el.network, { nodes = { a = { capacity = 1 } }, heat = { [("n"):rep(1 << 20)] = 1 } }))
assert(not pcall(el.network, { nodes = { a = { capacity = 1 } }, heat = { a = { { 2, 1 }, { 1, 1 } } } }))
assert(not pcall(el.network, setmetatable({}, { __index = function() while true do end end })))
print "refused"
