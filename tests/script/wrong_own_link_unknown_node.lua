-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
local link = { from = "pad.plat", to = "ambient", conductance = "2 W/K" }
el.run { car = m.car:with { front = { links = { link } } }, course = m.course, stint = m.stint }
-- expect error: emberlap: wrong_own_link_unknown_node.lua:5: car.front.links[1].from: no node "pad.plat" in the corner; did you mean "pad.plate"?
