-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.network { nodes = { disc = { capacity = 4000 } },
  links = { { from = "disk", to = "ambient", conductance = 10 } } }
