-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.network { nodes = { disc = { capacity = 4000 } },
  links = { { from = "disk", to = "ambient", conductance = 10 } } }
-- expect error: emberlap: wrong_network_unknown_node.lua:3: links[1].from: the network has no node "disk"; did you mean "disc"?
