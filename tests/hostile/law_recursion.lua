-- SPDX-License-Identifier: MIT
-- A law that makes the part that it is the law of: frames of the engine on the C stack, without end.
-- expect: refused
local el = require "emberlap"
local depth, deepest = 0, 0
local function law()
  depth = depth + 1
  deepest = math.max(deepest, depth)
  local ok = pcall(el.pad, { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 },
                             friction = law })
  depth = depth - 1
  assert(ok, "as deep as it goes")
  return 0.4
end
assert(not pcall(el.pad, { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 },
                           friction = law }))
assert(deepest > 1 and deepest < 50)
print "refused"
