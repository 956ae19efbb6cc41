-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
local list = el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { fluid = { el.fluid { dry = 300, wet = 200 } } } }
list[1] = 3
-- expect error: shortlist: a shortlist is not changed
