-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { fluid = { { dry = 300, wet = 200 } } } }
-- expect error: shortlist.change.fluid[1]: an option is a definition, or a table { name =, part =, cost =, fits = }: there is no "part"
