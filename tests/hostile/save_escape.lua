-- SPDX-License-Identifier: MIT
-- run:save to places outside of --out: by name, by link, over what was read, under other endings.
-- writes: fine.csv
-- expect: refused
local m = require "modules.coupe"
local el = require "emberlap"
local run = el.run { car = m.car, course = m.course, stint = m.stint }
run:save "fine.csv"
for _, name in ipairs { "/tmp/x.csv", "../x.csv", "a/../../x.csv", "away/x.csv", "away/deep/x.json", "a\0.csv",
                        "", ".csv/", ".", "x", "x.lua", "x.yaml", "x.csv.lua", "a//x.csv", "./x.csv",
                        ("x"):rep(300) .. ".csv", "a\nb.csv", "\27[2J.csv", "fine.csv/x.csv" } do
  assert(not pcall(run.save, run, name), name)
end
for _, options in ipairs { { every = 0 }, { every = -1 }, { every = 0 / 0 }, { every = 1e-300 }, { every = "x" },
                           { [1] = 1 }, 5, setmetatable({}, { __index = error }) and { no = 1 } } do
  assert(not pcall(run.save, run, "other.csv", options))
end
local ok, why = pcall(run.save, run, "away/x.csv")
assert(not ok and why:find "is a link", why)
assert(not pcall(run.save, {}, "x.csv") and not pcall(run.save, m.car, "x.csv"))
print "refused"
