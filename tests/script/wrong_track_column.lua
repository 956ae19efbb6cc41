-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.track { file = "tracks/nettlewick_club.yaml", speed = "Speed" }
-- expect error: emberlap: wrong_track_column.lua:3: track.speed: tracks/nettlewick_club.yaml is a layout: it has no columns to name, only driver and of
