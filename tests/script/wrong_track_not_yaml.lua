-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.track "small_log.csv"
-- expect error: emberlap: wrong_track_not_yaml.lua:3: track.file: a layout is a .yaml file; el.trace reads the log of a drive
