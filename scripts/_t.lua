local el = require "emberlap"
local c = require "parts.coupe"
local car = c.car:with { fluid = el.fluid { dry = "268 C", wet = "162 C", water = "1.5 %" }, front = { pad = { thickness_now = "9 mm", worn_at="4 mm" },
   duct = el.duct { bore = "51 mm", length = "1.4 m", bends = 2, aim = "eye" } } }
local grid = el.sweep {
  over = {
    bore = { "51 mm", "63 mm", "76 mm", "102 mm" },
    ring_kg = el.range(6,10, 9),
  },
  case = function(x)
    return {
      course = c.course, stint = c.stint,
      car = car:with { front = { duct = { bore = x.bore }, rotor = { ring_mass = x.ring_kg, thickness=0.032*x.ring_kg/8.3 } } },
    }
  end,
}
print(grid)
