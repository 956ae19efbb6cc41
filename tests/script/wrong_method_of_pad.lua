-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
require "modules.coupe".rotor:wear { energy = 1 }
-- expect error: emberlap: wrong_method_of_pad.lua:4: a rotor has no method or value "wear"; emberlap help el lists the methods, and values are not read back
