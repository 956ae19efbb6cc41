-- SPDX-License-Identifier: MIT
-- pairs whose __pairs is pairs, that grows its table, that changes it while it is walked.
-- expect error: the script has run for too long
local self = setmetatable({}, { __pairs = function(t) return pairs(t) end })
assert(not pcall(pairs, self))
local t = { a = 1, b = 2 }
for k in pairs(t) do t[k .. "x"] = 1 t[k] = nil end
assert(not pcall(next, {}, {}) and not pcall(next) and not pcall(next, "x"))
while true do
  for k in pairs(setmetatable({}, { __pairs = function() return function() return 1 end end })) do end
end
