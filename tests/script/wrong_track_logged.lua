-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.run { car = m.car:with { power = "200 kW" }, course = el.track "tracks/nettlewick_club.yaml",
         stint = { logged = true } }
-- expect error: emberlap: wrong_track_logged.lua:4: stint.logged: a layout has no logged session: say how many laps are driven, as hot = 12
