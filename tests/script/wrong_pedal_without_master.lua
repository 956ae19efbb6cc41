-- SPDX-License-Identifier: MIT
local el = require "emberlap"
local m = require "modules.package"
el.pedal { ratio = 5, master = {} }
-- expect error: emberlap: wrong_pedal_without_master.lua:4: master.front: missing: front and rear bores of two masters, or the bore of a tandem master
