-- SPDX-License-Identifier: MIT
-- writes: sprint.csv
-- writes: below/sprint.json
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
run:save "below/sprint.json"
run:save("sprint.csv", { every = "0.5 s" })
-- expect: saved
print "saved"
