-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { fluid = { el.fluid { dry = 300, wet = 200 } } },
  fit = function(pick) return pick.fluid.dry > 3 end }
-- expect error: shortlist.fit:
-- expect error: a fluid has no method or value "dry"
