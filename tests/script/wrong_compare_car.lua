-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
el.compare(run, m.car)
-- expect error: compare[2]: expected a run, which el.run gives, found a
