-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  changes = { fluid = { el.fluid { dry = 300, wet = 200 } } } }
-- expect error: shortlist: unknown key "changes"; did you mean "change"?
