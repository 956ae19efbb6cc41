-- SPDX-License-Identifier: MIT
-- Goes down by pcall until the C stack is full, and goes on from every level it comes back to.
-- expect error: the script has run for too long
local function down() while true do pcall(down) end end
down()
