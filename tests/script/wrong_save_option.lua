-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
run:save("sprint.csv", { evry = "1 s" })
-- expect error: emberlap: wrong_save_option.lua:5: save.evry: unknown key "evry"; did you mean "every"?
