-- SPDX-License-Identifier: MIT
-- string.pack, unpack and utf8 with sizes, counts and bytes that make no sense.
-- expect: refused
for _, f in ipairs { "i17", "I999999999999", "s9", "!99", "Xz", ("s"):rep(10000), "c" .. ("9"):rep(30), "<>=!" } do
  pcall(string.pack, f, ("x"):rep(100))
  pcall(string.unpack, f, ("\xff"):rep(100))
  pcall(string.packsize, f)
end
assert(not pcall(string.packsize, ("c2147483647"):rep(3)))
assert(not pcall(string.unpack, "s8", ("\xff"):rep(16)))
assert(not pcall(string.unpack, "z", "no end", 1 << 40))
assert(not pcall(utf8.char, -1) and not pcall(utf8.codepoint, "\xff"))
assert(not pcall(utf8.char, 1 << 40))
for _, s in ipairs { "\xf8\x88\x80\x80\x80", "\x80", "\xed\xa0\x80", ("\xfd\xbf\xbf\xbf\xbf\xbf"):rep(1000) } do
  pcall(utf8.len, s, -1 << 62, 1 << 62)
  pcall(function() for _ in utf8.codes(s) do end end)
  pcall(utf8.offset, s, 1 << 62, -1 << 62)
end
print "refused"
