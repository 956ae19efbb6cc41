-- SPDX-License-Identifier: MIT
-- Laws that yield out of the engine, from coroutines, into one that is gone, and close themselves.
-- expect: refused
local el = require "emberlap"
local function pad(law)
  return el.pad { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 }, friction = law }
end
for _ = 1, 200 do
  local co = coroutine.create(function() return pad(function() return coroutine.yield(0.4) end) end)
  local ok, why = coroutine.resume(co)
  assert(not ok and why:find "yield")
  coroutine.close(co)
end
local made
local co = coroutine.create(function() made = pad(function(T) return 0.4 + T * 1e-6 end) coroutine.yield() end)
coroutine.resume(co)
coroutine.close(co)
co = nil
for i = 1, 100000 do local _ = { i } end
made = made:with { thickness_now = "10 mm" }
assert(made:friction_at { temperature = 300 } > 0.4)
local self
self = coroutine.create(function()
  return pad(function() assert(not pcall(coroutine.close, self) and not coroutine.resume(self)) return 0.4 end)
end)
assert(coroutine.resume(self))
print "refused"
