-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotr { diameter = "355 mm" }
