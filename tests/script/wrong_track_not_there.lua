-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.track "tracks/nettlewick.yaml"
-- expect error: emberlap: wrong_track_not_there.lua:3: track.file: no file "tracks/nettlewick.yaml"
