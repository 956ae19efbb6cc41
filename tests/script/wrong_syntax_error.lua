-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor { diameter = "355 mm" thickness = "32 mm" }
-- expect error: emberlap: wrong_syntax_error.lua:3: '}' expected near 'thickness'
