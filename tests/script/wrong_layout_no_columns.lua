-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.course:layout()
-- expect error: emberlap: wrong_layout_no_columns.lua:4: layout: nothing in this log tells how the course turns: a layout needs latitude and longitude, or a yaw rate, or a lateral acceleration; name their columns with latitude and longitude, yaw_rate or lateral where they are not guessed
