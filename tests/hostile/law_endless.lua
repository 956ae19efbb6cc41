-- SPDX-License-Identifier: MIT
-- A friction law that never returns, called by the engine while it reads the part.
-- expect error: the script has run for too long
local el = require "emberlap"
while true do
  pcall(el.pad, { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 },
                  friction = function() while true do pcall(string.rep, "x", 10) end end })
end
