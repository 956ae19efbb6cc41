-- SPDX-License-Identifier: MIT
local function inner()
  error "the tank is empty"
end
inner()
