-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
el.compare(run)
-- expect error: compare: expected 2 to 9 runs: el.compare(before, after)
