-- SPDX-License-Identifier: MIT
-- A generic for whose closing value raises, yields and closes another.
-- expect: 2000
local function closing(depth)
  return setmetatable({}, { __close = function()
    if depth > 0 then local inner <close> = closing(depth - 1) end
    error("closing " .. depth)
  end })
end
local n = 0
for i = 1, 2000 do
  local ok = pcall(function()
    for _ in next, { 1 }, nil, closing(i % 20) do end
  end)
  local co = coroutine.create(function()
    local held <close> = setmetatable({}, { __close = function() coroutine.yield() end })
    error "in a coroutine"
  end)
  coroutine.resume(co)
  coroutine.close(co)
  n = n + (ok and 0 or 1)
end
print(n)
