-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.pad:with { thickness = function(T) return 0.4 end }
-- expect error: emberlap: wrong_function_as_number.lua:4: pad.thickness: expected a length such as "350 mm", found a function
