-- SPDX-License-Identifier: MIT
-- Weak tables whose keys hang on each other's values: the collector goes round and round in C.
-- expect error: the script has run for too long
local weak = {}
for i = 1, 30 do weak[i] = setmetatable({}, { __mode = "k" }) end
while true do
  local key = {}
  for i = 1, 20000 do
    local value = {}
    weak[1 + i % 30][key] = value
    key = value
  end
end
