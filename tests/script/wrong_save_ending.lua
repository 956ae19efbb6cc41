-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
run:save "sprint.txt"
-- expect error: emberlap: wrong_save_ending.lua:5: save: "sprint.txt" ends in neither .csv (history) nor .json (summary)
