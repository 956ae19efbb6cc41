-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { fluid = {} } }
-- expect error: shortlist.change.fluid: there is nothing to try
