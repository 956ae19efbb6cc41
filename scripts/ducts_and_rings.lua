-- SPDX-License-Identifier: MIT
-- The question: on its road-grade fluid the coupe does not live through twelve hot laps. Would a
-- wider brake duct be enough, or a heavier front ring, or does it take both?
--
-- Why it comes out as it does: a duct takes heat away in every second that the car moves. A ring
-- of more iron stores more of a stop, so its core peaks lower, but it sheds no more heat: over a
-- dozen laps the mean is what soaks into the caliper. So both cool the core, and for the fluid the
-- hose does many times what the ring does. The rings are of one pattern, thicker where they are
-- heavier; more iron in the same size would narrow the vanes, which is another question.
-- expect: SWEEP of bore (4) by ring_kg (9): 36 rows
-- expect: WHAT GIVES OUT FIRST
-- expect: A front fluid.
-- expect: front.fluid.margin, K
-- expect: over the four bores the fluid gains
-- expect: over the nine rings it gains less than 10 K
-- expect: lightest that does not fail: 76 mm duct, 6 kg ring
local el = require "emberlap"
local c = require "parts.coupe"

local road = c.car:with {
  fluid = el.fluid { dry = "268 C", wet = "162 C", water = "1.5 %" },
  front = { duct = el.duct { bore = "51 mm", length = "1.4 m", bends = 2, aim = "eye" },
            pad = { thickness_now = "9 mm" } },
}

local grid = el.sweep {
  over = { bore = { "51 mm", "63 mm", "76 mm", "102 mm" }, ring_kg = el.range(6, 10, 9) },
  case = function(x)
    local rotor = { ring_mass = x.ring_kg, thickness = 0.032 * x.ring_kg / 8.3 }
    return { car = road:with { front = { duct = { bore = x.bore }, rotor = rotor } },
             course = c.course, stint = c.stint }
  end,
}
print(grid)

-- What one axis does while the other stands still: its least and its most, K at the fluid.
local most = { bore = 0, ring = 0 }
local least = { bore = math.huge, ring = math.huge }
local function compare(axis, cool, hot)
  assert(cool["front.rotor.core.peak"] < hot["front.rotor.core.peak"])
  local gain = cool["front.fluid.margin"] - hot["front.fluid.margin"]
  least[axis], most[axis] = math.min(least[axis], gain), math.max(most[axis], gain)
end
for ring = 1, 9 do compare("bore", grid[27 + ring], grid[ring]) end
for bore = 0, 3 do compare("ring", grid[9 * bore + 9], grid[9 * bore + 1]) end
assert(least.bore > 15 and least.bore > 2 * most.ring)

print(("over the four bores the fluid gains %.0f to %.0f K"):format(least.bore, most.bore))
print(("over the nine rings it gains less than %.0f K"):format(10 * math.ceil(most.ring / 10)))
local best = grid:where(function(row) return row.verdict ~= "fails" end):best "mass.unsprung"
print(("lightest that does not fail: %s duct, %s kg ring, %.0f K left"):format(best.bore,
      best.ring_kg, best["front.fluid.margin"]))
