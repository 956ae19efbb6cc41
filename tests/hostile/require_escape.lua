-- SPDX-License-Identifier: MIT
-- require of what is not a module beside the script: outside, links, pipes, folders, C, itself.
-- expect: refused
for _, name in ipairs { "../modules/coupe", "..modules.coupe", "/etc/passwd", "a/b", "a\0b", "", ".", "a..b",
                        "modules", "linked", "pipe", "up.etc.passwd", "proc.self.environ", "lib.so",
                        ("a."):rep(89) .. "a", ("a"):rep(1 << 20), "hostname", "\27[2J" } do
  local ok, why = pcall(require, name)
  assert(not ok and type(why) == "string", name)
end
for _, name in ipairs { {}, print, true, 5, setmetatable({}, { __tostring = function() return "x" end }) } do
  assert(not pcall(require, name))
end
for name, reason in pairs { linked = "is a link", pipe = "is not a regular file" } do
  local _, why = pcall(require, name)
  assert(why:find(reason, 1, true), why)
end
assert(not pcall(require) and require "modules.coupe")
print "refused"
