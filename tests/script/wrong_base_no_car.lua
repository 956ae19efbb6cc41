-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.run { car = m.car, course = m.course, stint = m.stint, base = m.pedal }
-- expect error: emberlap: wrong_base_no_car.lua:4: run.base: expected a car, found a pedal
