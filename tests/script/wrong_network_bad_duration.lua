-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.network { nodes = { disc = { capacity = 4000 } } }:simulate { duraton = 1 }
