-- SPDX-License-Identifier: MIT
-- Laws that raise every kind of value, also one that nobody may ask for its text.
-- expect: refused
local el = require "emberlap"
local function forever() while true do end end
local nasty = setmetatable({}, { __tostring = forever, __index = forever, __name = forever })
for _, value in ipairs { "text", 5, true, {}, nasty, print, coroutine.create(print), el.none, ("x"):rep(1 << 20),
                         "a\0b", "\27[2J" } do
  local ok, why = pcall(el.pad, { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 },
                                  friction = function() error(value, 0) end })
  assert(not ok and why:find "pad.friction: the function at" and #why < 4000)
end
local m = require "modules.coupe"
local ok, why = pcall(m.front.with, m.front, { cooling = { caliper = function() error(nasty) end } })
assert(not ok and why:find "cooling.caliper: the function at", why)
print "refused"
