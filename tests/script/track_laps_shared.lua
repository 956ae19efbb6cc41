-- SPDX-License-Identifier: MIT
-- Rows of a sweep share a lap where nothing differs that moves it, over cars and courses.
-- expect note: sweep: 4 laps worked out, each by its row's own car with pads at 300 C
local el = require "emberlap"
local m = require "modules.package"
local grid = el.sweep {
  over = { bore = { "51 mm", "76 mm", "102 mm" }, grip = { 1.1, 1.3 },
           course = { "nettlewick_club", "cinderpan" } },
  relap = true, measures = { "energy" },
  case = function(x)
    return { car = m.car:with { power = "200 kW", tyre = { grip = x.grip },
                                front = { duct = { bore = x.bore, length = "1 m" } } },
             course = el.track("tracks/" .. x.course .. ".yaml"), stint = { hot = 2 } }
  end,
}
-- expect: 12 rows
print(#grid .. " rows")
