-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
local margin = run.front.flud.margin
