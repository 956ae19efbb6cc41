-- SPDX-License-Identifier: MIT
-- One line says what was guessed, one what was repaired.
-- expect note: rough_log.csv: columns guessed by name: Time in s, Velocity in km/h, Alt in m (unit assumed), Lat in deg (unit assumed), Lon in deg (unit assumed)
-- expect note: rough_log.csv: repaired: 1 spike, 1 gap; emberlap log rough_log.csv says where
local el = require "emberlap"
el.trace { file = "rough_log.csv" }
