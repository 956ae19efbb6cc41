-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.front:with { nodes = { { capacity = "200 J/K" } } }
-- expect error: emberlap: wrong_own_node_without_name.lua:4: brake.nodes[1]: missing: the first value without a key (its name)
