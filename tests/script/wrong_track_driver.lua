-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.track { file = "tracks/nettlewick_club.yaml", driver = { corner = 95 } }
-- expect error: emberlap: wrong_track_driver.lua:3: driver.corner: 95 is outside 0.3 to 1; did you mean "95 %"?
