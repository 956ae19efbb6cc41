-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.sweep { over = {} }
