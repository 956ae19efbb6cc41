-- SPDX-License-Identifier: MIT
-- %b and frontiers that look to the end of a megabyte from every byte of it.
-- expect error: the script has run for too long
local s = ("("):rep(1000000)
while true do
  s:find("%b()")
  s:gsub("%f[)]", "")
end
