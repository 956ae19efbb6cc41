-- SPDX-License-Identifier: MIT
-- A marginal run is exit status 0, and said on standard error.
-- expect: marginal
-- expect note: 1 of 1 run is marginal; the tightest: front pad
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run {
  car = m.car:with { front = { pad = { window = { 20, 800 } } },
                     rear = { pad = { window = { 20, 1200 } } } },
  course = m.course, stint = m.stint, limits = { rotor = 1000, pad_band = 300 },
}
print(run.verdict)
