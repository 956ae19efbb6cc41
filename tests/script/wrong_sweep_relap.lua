-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.sweep { over = { x = { 1, 2 } }, relap = "yes", case = function() return {} end }
-- expect error: emberlap: wrong_sweep_relap.lua:3: sweep.relap: expected true or false
