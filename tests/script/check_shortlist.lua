-- SPDX-License-Identifier: MIT
-- In a check every option is read and the first combination compiled; the list is not known.
-- command: check
-- expect: checked up to check_shortlist.lua:14, where a result is first used
-- expect: out/list.csv
local el = require "emberlap"
local m = require "modules.package"
local list = el.shortlist {
  car = m.car, course = m.course, stint = m.stint,
  change = { fluid = { el.fluid { dry = 300, wet = 200 } }, ["front.duct"] = { { name = "hose", part = el.duct { bore = "76 mm", length = "1.4 m" } } } },
  fit = function() error "is not asked" end,
}
list:save "list.csv"
print(#list)
