-- SPDX-License-Identifier: MIT
-- Changes what other modules of the script are given: el, el.args, parts, results.
-- args: hot=8
-- expect: unchanged
local el = require "emberlap"
local function refused(f, ...) assert(not pcall(f, ...)) end
local run = el.run
refused(function() el.run = print end)
refused(function() el.new = print end)
refused(function() el.args.hot = "9" end)
refused(rawset, el, "run", print)
refused(rawset, el.args, "hot", "9")
refused(setmetatable, el, {})
refused(table.insert, el, 1)
refused(table.move, { 1 }, 1, 1, 1, el)
refused(table.sort, setmetatable({}, { __index = el, __newindex = el, __len = function() return 9 end }))
for _, v in pairs(el) do if type(v) == "table" then refused(function() v.x = 1 end) end end
local _, walked = pairs(el)
walked.run = print
rawset(walked, "car", print)
refused(function() el.none.x = 1 end)
refused(setmetatable, el.none, {})
local fluid = el.fluid { dry = 300, wet = 200 }
refused(function() fluid.dry = 400 end)
refused(rawset, fluid, "dry", 400)
refused(setmetatable, fluid, { __index = {} })
assert(getmetatable(el) == false and getmetatable(fluid) == false and getmetatable(el.args) == false)
assert(el.run == run and el.car ~= print and el.args.hot == "8")
print "unchanged"
