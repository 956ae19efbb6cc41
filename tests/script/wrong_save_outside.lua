-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
run:save "../sprint.csv"
-- expect error: emberlap: wrong_save_outside.lua:5: save: "../sprint.csv": a file to save is not reached through ".."
