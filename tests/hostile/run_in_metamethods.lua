-- SPDX-License-Identifier: MIT
-- el.run inside __index, __close, __lt, a comparator of sort, a replacement of gsub and __pairs.
-- engine: 6
-- expect: 8 runs
local m = require "modules.coupe"
local el = require "emberlap"
local n = 0
local function run()
  n = n + 1
  return el.run { car = m.car, course = m.course, stint = m.stint }.front.fluid.peak
end
local lazy = setmetatable({}, { __index = run, __lt = function() run() return true end, __pairs = run,
                                __close = run, __concat = run, __len = run })
local _ = lazy.x
_ = lazy < lazy
do local held <close> = lazy end
pcall(pairs, lazy)
_ = lazy .. "x"
_ = #lazy
pcall(table.sort, { 2, 1 }, function() run() error "enough" end)
pcall(string.gsub, "x", "x", function() return run() end)
print(n .. " runs")
