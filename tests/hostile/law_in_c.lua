-- SPDX-License-Identifier: MIT
-- A law that never returns from the library: no hook fires below the engine.
-- expect error: does not stop when asked
local el = require "emberlap"
local s, p = ("a"):rep(50000), ("a*"):rep(40) .. "b"
el.pad { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 },
         friction = function() return s:find(p) end }
