-- SPDX-License-Identifier: MIT
-- A case of a sweep that stays in the library for ever, while other cases may be at work.
-- engine: 4
-- expect error: does not stop when asked
local el = require "emberlap"
local m = require "modules.coupe"
local s, p = ("a"):rep(50000), ("a*"):rep(40) .. "b"
el.sweep { over = { mass = { 1300, 1350, 1400, 1450, 1500, 1550 } }, case = function(x)
  if x.mass > 1500 then s:find(p) end
  return { car = m.car:with { mass = x.mass }, course = m.course, stint = m.stint }
end }
