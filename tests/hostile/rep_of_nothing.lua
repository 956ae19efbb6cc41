-- SPDX-License-Identifier: MIT
-- An empty text repeated 2^62 times: a loop that needs no memory.
-- expect: nothing
assert(("").rep("", 1 << 62) == "" and ("").rep("", 1 << 62, "") == "")
assert(not pcall(string.rep, "", 1 << 62, "x"))
print "nothing"
