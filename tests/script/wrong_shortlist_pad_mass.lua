-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { ["front.pad"] = { { part = { thickness_now = "16 mm" }, mass = "1 kg" } } } }
-- expect error: shortlist.change.front.pad[1]
-- expect error: mass
