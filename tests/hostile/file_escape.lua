-- SPDX-License-Identifier: MIT
-- Documents and logs from outside the script's folder and the root, by name, link and device.
-- expect: refused
local el = require "emberlap"
local names = { "/etc/passwd", "../../etc/passwd", "modules/../../x", "linked.yaml", "up/etc/passwd",
                "proc/self/environ", "proc/self/mem", "pipe.yaml", "modules", ".", "./x", "a//b",
                "modules/", "x\0y", ("x"):rep(201), ("x/"):rep(90) .. "x", "a\nb", "\27]0;x\7",
                "/dev/zero", "/dev/stdin", "/proc/self/fd/0", "~/x", "file:///etc/passwd" }
for _, name in ipairs(names) do
  local ok, why = pcall(el.rotor, name)
  assert(not ok and not why:find "root:", name)
  ok, why = pcall(el.trace, { file = name })
  assert(not ok and not why:find "root:", name)
end
local function because(name, reason)
  local ok, why = pcall(el.rotor, name)
  assert(not ok and why:find(reason, 1, true), why)
end
because("linked.yaml", "is a link")
because("proc/self/environ", "no file")
because("up/etc/passwd", "no file")
because("pipe.yaml", "is not a regular file")
because("modules", "is not a regular file")
assert(pcall(el.rotor, "modules/rotor.yaml")) -- what is below the root is there
print "refused"
