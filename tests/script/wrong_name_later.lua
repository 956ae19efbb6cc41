-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.lap { car = {} }
-- expect error: emberlap: wrong_name_later.lua:3: el.lap is not yet modelled
