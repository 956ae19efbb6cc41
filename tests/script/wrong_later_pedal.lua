-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local quick = m.car:with { pedal = { ratio = 5.2 } }
-- expect error: emberlap: wrong_later_pedal.lua:4: car.pedal: "pedal" is not yet modelled; remove it (a key is accepted only once it changes a result)
