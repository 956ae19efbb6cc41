-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotr { diameter = "355 mm" }
-- expect error: emberlap: wrong_unknown_name.lua:3: el has no "rotr"; did you mean "rotor"?
