-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.coupe"
m.car:wiht { mass = "1300 kg" }
-- expect error: emberlap: wrong_unknown_method.lua:4: a car has no method "wiht"; did you mean "with"?
