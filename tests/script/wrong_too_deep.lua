-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local t = {}
for i = 1, 40 do t = { t } end
el.stint(t)
-- expect error: emberlap: wrong_too_deep.lua:5: stint[1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1][1]: tables are nested more than 32 deep
