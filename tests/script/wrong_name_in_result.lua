-- SPDX-License-Identifier: MIT
-- A name that is like none: all that there are, each once.
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
local face = run.front.pad.face
-- expect error: emberlap: wrong_name_in_result.lua:6: run.front.pad has no "face"; it has: left, left_event, parked_peak, peak, peak_at, sessions, sets, track_peak
