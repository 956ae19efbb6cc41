-- SPDX-License-Identifier: MIT
-- Keys that all fall into one place of their table.
-- expect error: the script has run for too long
while true do
  local t = {}
  for i = 1, 60000 do t[i * ((1 << 32) - 1) * 65535.0] = i end
  for i = 1, 60000 do t[i * 65535 * 131071] = i end
end
