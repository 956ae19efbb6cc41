-- SPDX-License-Identifier: MIT
-- Looks for everything that reaches the machine, from everywhere that might still hold it.
-- expect: nothing found
local seen, bad = {}, {}
local gone = { "io", "os", "package", "debug", "dofile", "loadfile", "collectgarbage", "warn", "dump",
               "popen", "execute", "getenv", "loadlib", "getregistry", "sethook", "upvalueid" }
local function look(t)
  if seen[t] then return end
  seen[t] = true
  for k, v in next, t do
    for _, name in ipairs(gone) do if k == name then bad[#bad + 1] = name end end
    if type(v) == "table" then look(v) end
  end
end
look(_G)
look(string)
assert(#bad == 0, table.concat(bad, " "))
assert(getmetatable("") == false and not pcall(setmetatable, "", {}))
for _, v in ipairs { print, {}, coroutine.create(print), require "emberlap", require("emberlap").none,
                     string.gmatch("", ""), load "" } do
  assert(not tostring(v):find "0x" and not ("%s"):format(v):find "0x")
  assert(not select(2, pcall(error, v)) or true)
  assert(not tostring(select(2, pcall(function() return v + 1 end))):find "0x")
  assert(not tostring(select(2, pcall(string.rep, v))):find "0x")
end
print "nothing found"
