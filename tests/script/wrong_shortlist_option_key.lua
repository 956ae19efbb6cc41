-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { fluid = { { name = "a", prize = 3, part = el.fluid { dry = 300, wet = 200 } } } } }
-- expect error: shortlist.change.fluid[1]: unknown key "prize"; it takes: part, name, cost, labour, mass, fits
