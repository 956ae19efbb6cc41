-- SPDX-License-Identifier: MIT
-- Thousands of variables whose __close runs while the end of the script unwinds the stack.
-- expect error: the script has run for too long
local slow = setmetatable({}, { __close = function() while true do end end })
local function hold(n)
  local held <close> = slow
  if n > 0 then return 1 + hold(n - 1) end
  while true do end
end
while true do pcall(hold, 150) end
