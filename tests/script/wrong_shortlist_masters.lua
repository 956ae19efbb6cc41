-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
local bare = require("modules.coupe").car
el.shortlist { car = bare, course = m.course, stint = m.stint,
  change = { ["pedal.master"] = { { part = { front = "19 mm", rear = "17 mm" } } } } }
-- expect error: shortlist.change.pedal.master[1]: the car has no pedal, so there are no masters to change
