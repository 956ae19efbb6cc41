-- SPDX-License-Identifier: MIT
-- A handler of xpcall that never returns: the library runs handlers with hooks off.
-- expect error: the script has run for too long
while true do
  xpcall(error, function() while true do end end)
end
