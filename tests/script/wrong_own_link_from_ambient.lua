-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local link = { from = "ambient", to = "hub", conductance = "2 W/K" }
el.run { car = m.car:with { rear = { links = { link } } }, course = m.course, stint = m.stint }
-- expect error: emberlap: wrong_own_link_from_ambient.lua:5: car.rear.links[1].from: "ambient" is where heat goes to: put it under to
