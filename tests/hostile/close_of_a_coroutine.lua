-- SPDX-License-Identifier: MIT
-- A coroutine that the hook has stopped is closed with hooks off: its __close then never returns.
-- expect error: does not stop when asked
local forever = setmetatable({}, { __close = function() while true do end end })
local f = coroutine.wrap(function()
  local held <close> = forever
  while true do end
end)
pcall(f)
