-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.shortlist { car = m.car, course = m.course, stint = m.stint,
  change = { ["front.rotor"] = { el.fluid { dry = 300, wet = 200 } } } }
-- expect error: shortlist.change.front.rotor[1]: expected a rotor, found a fluid
