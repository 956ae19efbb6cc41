-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.car:wiht { mass = "1300 kg" }
