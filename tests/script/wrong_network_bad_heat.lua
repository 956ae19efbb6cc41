-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local net = el.network { nodes = { disc = { capacity = 4000 } }, heat = { disc = function(t) return 0 / 0 end } }
net:simulate { duration = 1 }
