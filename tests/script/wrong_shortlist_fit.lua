-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { fluid = { el.fluid { dry = 300, wet = 200 } } },
  fit = function(pick) return pick.fluid end }
-- expect error: shortlist.fit:
-- expect error: fit gives true, or false and why; not a
