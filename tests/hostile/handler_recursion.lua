-- SPDX-License-Identifier: MIT
-- Handlers that raise in handlers that raise, and a handler that overflows the stack.
-- expect: still here
local function handle(e) return xpcall(error, handle, e) end
print(select("#", xpcall(error, handle)) >= 1)
local function deep() return 1 + deep() end
local function handle_deep() return deep() end
xpcall(deep, handle_deep)
print "still here"
