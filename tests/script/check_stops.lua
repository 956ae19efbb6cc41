-- SPDX-License-Identifier: MIT
-- command: check
-- expect: before
-- expect: check_stops.lua: checked up to check_stops.lua:16, where a result is first used
-- expect: read: check_stops.lua
-- expect: read: modules/coupe.lua
-- expect: read: small_log.csv
-- expect: /out/sprint.csv
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
print "before"
run:save "sprint.csv"
-- a result is not there in a check: nothing catches that
pcall(function()
  if run.front.fluid.margin > 0 then error "not reached" end
end)
error "not reached either"
