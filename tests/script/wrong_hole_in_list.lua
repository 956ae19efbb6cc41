-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.caliper { type = "fixed", pistons = { "38 mm", nil, "30 mm" }, mass = "3 kg" }
