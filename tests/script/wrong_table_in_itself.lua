-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local t = { dry = "310 C", wet = "200 C" }
t.water = t
el.fluid(t)
-- expect error: emberlap: wrong_table_in_itself.lua:5: fluid.water: this table contains itself
