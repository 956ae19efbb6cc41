-- SPDX-License-Identifier: MIT
-- Saves until the disk is full.
-- engine: 20
-- writes many
-- expect error: saved too much
local m = require "modules.coupe"
local el = require "emberlap"
local run = el.run { car = m.car, course = m.course, stint = el.stint { hot = 1, ambient = "20 C" } }
for i = 1, 100000 do run:save("f" .. i % 50 .. "/" .. i .. ".csv", { every = "60 s" }) end
