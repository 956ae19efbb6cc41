-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.rotor "no_such_rotor.yaml"
-- expect error: emberlap: wrong_missing_document.lua:3: no file "no_such_rotor.yaml" beside the script (.)
