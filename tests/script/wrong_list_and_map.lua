-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.fluid { "310 C", wet = "200 C" }
-- expect error: emberlap: wrong_list_and_map.lua:3: fluid: this table mixes values with and without keys; a fluid takes only key = value
