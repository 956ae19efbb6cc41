-- SPDX-License-Identifier: MIT
-- A script that prints nothing gets the table of its last run.
local el = require "emberlap"
local m = require "modules.coupe"
el.run { car = m.car, course = m.course, stint = m.stint }
-- expect: WHAT WAS RUN
-- expect: front rotor core
