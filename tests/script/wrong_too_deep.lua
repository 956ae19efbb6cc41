-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local t = {}
for i = 1, 40 do t = { t } end
el.stint(t)
