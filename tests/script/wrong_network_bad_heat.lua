-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local net = el.network { nodes = { disc = { capacity = 4000 } }, heat = { disc = function(t) return 0 / 0 end } }
net:simulate { duration = 1 }
-- expect error: emberlap: wrong_network_bad_heat.lua:4: heat.disc: the function gave not a number at t = 0.0125 s
