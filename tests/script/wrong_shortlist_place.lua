-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { ["front.pads"] = { m.car } } }
-- expect error: shortlist.change: no such place "front.pads"; did you mean "front.pad"?
