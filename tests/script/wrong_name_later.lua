-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.sweep { over = {} }
-- expect error: emberlap: wrong_name_later.lua:3: el.sweep is not yet modelled
