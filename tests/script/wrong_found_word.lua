-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
m.car:with { found = { "crak" } }
-- expect error: emberlap: wrong_found_word.lua:4: car.found[1][1]: "crak" is not one of
