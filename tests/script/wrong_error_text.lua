-- SPDX-License-Identifier: MIT
local function inner()
  error "the tank is empty"
end
inner()
-- expect error: emberlap: wrong_error_text.lua:3: the tank is empty
