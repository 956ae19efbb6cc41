-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.caliper { type = "fixed", pistons = { "38 mm", nil, "30 mm" }, mass = "3 kg" }
-- expect error: emberlap: wrong_hole_in_list.lua:3: caliper.pistons: the list in this table has holes: its positions are not 1, 2, 3 ...
