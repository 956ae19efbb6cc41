-- SPDX-License-Identifier: MIT
-- Source nested deeper than the parser's stack, in every way that nests.
-- expect: refused
for _, part in ipairs { "(", "{", "function f() ", "a[", "- ", "not ", "a..", "if a then ", "do ",
                        "a=function()return ", "f{", "local x <close> = " } do
  assert(not load(part:rep(100000)))
end
local many = {}
for i = 1, 300 do many[i] = "local a" .. i .. " = 1" end
assert(not load(table.concat(many, "\n")))
assert(not load("return " .. ("x.y"):rep(10, "(") .. ("9"):rep(100000) .. "e"))
print "refused"
