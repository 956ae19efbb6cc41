-- SPDX-License-Identifier: MIT
-- Laws that give what is no coefficient: nothing, tables, text, NaN, infinities, huge and below zero.
-- expect: refused
local el = require "emberlap"
local m = require "modules.coupe"
local calls = 0
for _, value in ipairs { { n = 0 }, { {} }, { "0.4" }, { true }, { 0 / 0 }, { 1 / 0 }, { -1 / 0 }, { 1e308 }, { -1e308 },
                         { -0.4 }, { 1e-320 }, { math.maxinteger }, { math.mininteger }, { el.none }, { print } } do
  local function law() calls = calls + 1 return table.unpack(value, 1, value.n or 1) end
  assert(not pcall(el.pad, { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 },
                             friction = law }))
  assert(not pcall(m.front.with, m.front, { cooling = { caliper = law } }) or value[1] == 1e-320)
end
-- a law of another value every time it is asked
local ok, pad = pcall(el.pad, { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 },
                                friction = function() return 0.3 + 0.2 * math.random() end })
assert(ok and calls >= 30, pad)
print "refused"
