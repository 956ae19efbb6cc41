-- SPDX-License-Identifier: MIT
-- A law in a coroutine in a law, with a variable to be closed that holds on when it is stopped.
-- expect error: the script has run for too long
local el = require "emberlap"
local holds = setmetatable({}, { __close = function() while true do end end })
local function pad(law)
  return el.pad { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 }, friction = law }
end
pcall(pad, function()
  return coroutine.wrap(function()
    local held <close> = holds
    return pad(function() while true do end end)
  end)()
end)
