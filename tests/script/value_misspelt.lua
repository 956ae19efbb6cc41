-- SPDX-License-Identifier: MIT
-- A value under a name that the script does not read, but close to one that it asks for, is told.
-- args: hott=3 pace=0.9
-- expect note: hott=3: the script asks for hot=, which is not given; a slip?
local el = require "emberlap"
-- expect: 6 0.9 nil
print((el.args.hot or 6) .. " " .. el.args.pace .. " " .. tostring(el.args.altitude))
