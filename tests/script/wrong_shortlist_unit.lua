-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { ["front.caliper"] = { { part = m.car, fits = { diameter = { 345, 362 } } } } } }
-- expect error: shortlist.change.front.caliper[1]
-- expect error: "345 mm"
