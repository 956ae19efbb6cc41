-- SPDX-License-Identifier: MIT
-- A pattern that backtracks for longer than anyone waits, within one call of the library.
-- expect error: does not stop when asked
print "searching"
string.find(("a"):rep(100000), ("a*"):rep(40) .. "b")
