-- SPDX-License-Identifier: MIT
-- command: check
-- expect: check_to_its_end.lua: checked to its end
local el = require "emberlap"
local net = el.network { nodes = { disc = { capacity = 4000 } }, heat = { disc = 100 } }
net:simulate { duration = "1 min" }
