-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.lap { car = m.car, course = el.track "tracks/nettlewick_club.yaml", fule = "20 kg" }
-- expect error: emberlap: wrong_lap_key.lua:4: lap.fule: unknown key "fule"; did you mean "fuel"?
