-- SPDX-License-Identifier: MIT
-- What scripts do not have.
-- expect: nothing
for _, name in ipairs { "io", "os", "package", "debug", "dofile", "loadfile", "collectgarbage",
                        "warn" } do
  if _G[name] ~= nil then print(name) end
end
assert(string.dump == nil and getmetatable("") == false)
assert(not pcall(string.format, "%p", {}))
assert(select(2, load("\27Lua")):find("binary"))
assert(load("return ...", "chunk", "b")(5) == 5) -- the mode is always text
print "nothing"
-- results and definitions cannot be opened
local el = require "emberlap"
local m = require "modules.coupe"
assert(getmetatable(m.car) == false and getmetatable(el) == false)
assert(not pcall(function() m.car.mass = 1 end) and not pcall(function() el.crar = 1 end))
-- expect: same
if require "modules.coupe" == m then print "same" end
