-- SPDX-License-Identifier: MIT
-- With --strict a marginal run is exit status 1.
-- args: --strict
-- status: 1
-- expect: marginal
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run {
  car = m.car:with { front = { pad = { window = { 20, 800 } } },
                     rear = { pad = { window = { 20, 1200 } } } },
  course = m.course, stint = m.stint, limits = { rotor = 1000, pad_band = 300 },
}
print(run.verdict)
