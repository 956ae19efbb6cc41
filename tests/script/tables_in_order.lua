-- SPDX-License-Identifier: MIT
-- pairs goes by key: numbers upwards, then text byte by byte.
local t = { z = 1, a = 2, B = 3, [10] = 4, [2] = 5, [1.5] = 6, [-3] = 7, ["a b"] = 8 }
local keys = {}
for k in pairs(t) do keys[#keys + 1] = tostring(k) end
-- expect: -3|1.5|2|10|B|a|a b|z
print(table.concat(keys, "|"))
-- random numbers are the same in every run
local first = {}
for i = 1, 3 do first[i] = math.random(1000) end
math.randomseed(7)
local a = math.random(1000)
math.randomseed(7)
assert(a == math.random(1000))
-- no addresses
-- expect: table function thread
print(tostring {} .. " " .. tostring(print) .. " " .. tostring(coroutine.create(print)))
