-- SPDX-License-Identifier: MIT
-- Bytecode, whole, by the byte, with every mode: it is not checked and could do anything.
-- expect: refused
local code = "\27Lua\x54\0\x19\x93\r\n\x1a\n\4\8\8" .. ("\0"):rep(200)
for _, mode in ipairs { "b", "bt", "t", "" } do
  assert(not load(code, "x", mode))
  local i = 0
  assert(not load(function() i = i + 1 return i <= #code and code:sub(i, i) or nil end, "x", mode))
end
assert(not pcall(load, setmetatable({}, { __call = function() return code end }), "x", "b"))
assert(string.dump == nil)
print "refused"
