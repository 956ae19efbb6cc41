-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.trace { file = "small_log.csv" }:driven_by(m.car)
-- expect error: emberlap: wrong_driven_by_nobody.lua:4: driven_by: the car that made the log is not known: give it as of = car to el.trace
