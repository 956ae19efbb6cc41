-- SPDX-License-Identifier: MIT
-- Keys, texts, units and names of ten megabytes, wherever one is read.
-- expect: refused
local el = require "emberlap"
local m = require "modules.coupe"
local long = ("k"):rep(10 * 1024 * 1024)
local function refused(f, ...)
  local ok, why = pcall(f, ...)
  assert(not ok and #why < 10000)
end
refused(el.car, { [long] = 1 })
refused(el.car, { mass = long })
refused(el.car, { mass = "1 " .. long })
refused(el.car, { mass = ("1"):rep(10 * 1024 * 1024) })
refused(el.car, { tyre = { [long] = { [long] = long } } })
refused(el.rotor, { construction = long })
refused(el.rotor, long)
refused(el.trace, { file = long })
refused(el.trace, { file = "small_log.csv", time = long })
refused(m.car.with, m.car, { [long] = 1 })
refused(function() return el[long] end)
refused(function() return m.car[long] end)
refused(el.network, { [long] = 1 })
refused(el.network, { nodes = { [long] = { capacity = 1 } } })
refused(require, long)
print "refused"
