-- SPDX-License-Identifier: MIT
-- load from a function that never ends: source that is one name, and source that is statements.
-- expect error: the script has run for too long
pcall(load, function() return "a" end)
pcall(load, function() return "local a = 1 " end)
while true do pcall(load, function() return ";" end) end
