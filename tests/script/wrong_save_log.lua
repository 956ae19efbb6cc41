-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.course:save "course.yaml"
-- expect error: emberlap: wrong_save_log.lua:4: save: only a layout is saved; course:layout() makes one
