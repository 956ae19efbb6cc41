-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.run { car = m.car, course = el.track "tracks/nettlewick_club.yaml", stint = { hot = 1 } }
-- expect error: emberlap: wrong_track_no_power.lua:4: course: car.power is missing (or car.gearing with torque, ratios and final): nothing keeps the car going round
