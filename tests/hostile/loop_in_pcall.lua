-- SPDX-License-Identifier: MIT
-- Catches its own end: a loop without end in a pcall in a loop without end.
-- expect error: the script has run for too long
while true do pcall(function() while true do end end) end
