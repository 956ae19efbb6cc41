-- SPDX-License-Identifier: MIT
-- string.format for addresses, also behind a zero byte; widths that are too wide; a loop of it.
-- expect error: the script has run for too long
for _, f in ipairs { "%p", "\0%p", "%%%p", "%-10p", "%s\0\0%20p" } do
  local ok, text = pcall(string.format, f, print, {}, coroutine.create(print))
  assert(not ok and text:find("not for scripts", 1, true), f)
end
for _, f in ipairs { "%s", "\0%s", "%%%s", "%-30s", "\0\0%.20s" } do
  assert(not f:format({}):find("0x", 1, true) and not f:format(print):find("0x", 1, true), f)
end
assert(not pcall(string.format, "%1000d", 1) and not pcall(string.format, "%.1000f", 1))
assert(not pcall(string.format, ("%d"):rep(1000), 1))
while true do pcall(string.format, ("%99.99f"):rep(200), table.unpack({ 1e308 }, 1, 1)) end
