-- SPDX-License-Identifier: MIT
-- Holds every part it makes: memory of the engine that hangs on small objects of Lua.
-- expect error: the script has run for too long
local el = require "emberlap"
local kept = {}
while true do
  local points = {}
  for i = 1, 60 do points[i] = { i * 10, 0.4 } end
  kept[#kept + 1] = el.pad { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 },
                             friction = points }
end
