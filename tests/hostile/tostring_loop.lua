-- SPDX-License-Identifier: MIT
-- print of something whose __tostring prints it, within pcall, and one that gives no text.
-- expect error: the script has run for too long
assert(not pcall(print, setmetatable({}, { __tostring = function() return {} end })))
local t = {}
setmetatable(t, { __tostring = function() pcall(print, t) while true do end end })
while true do pcall(print, t) pcall(string.format, "%s", t) end
