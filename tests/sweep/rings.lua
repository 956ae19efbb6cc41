-- SPDX-License-Identifier: MIT
-- Sixty short sessions (20 rings) of the coupe: what journal.sh interrupts, shares out and joins.
-- A few rows cannot run, and why stands in the journal as their result does.

local el = require "emberlap"
local coupe = require "coupe"

local course = el.trace {
  file = "tracks/harrow_vale_log.csv", time = "Time", speed = "Speed", lap = "Lap",
  distance = "Distance", of = coupe,
}
local stint = el.stint { out = 1, hot = tonumber(el.args.hot or 2), ambient = "32 C" }

local over = {
  bore = { "51 mm", "63 mm", "76 mm" },
  ring = el.range("7.5 kg", "9.4 kg", tonumber(el.args.rings or 20)),
}
if el.args.few then
  over = { bore = { "51 mm", "63 mm" } }
end

local grid = el.sweep {
  journal = el.args.journal or "rings", over = over,
  measures = { "front.fluid.margin", "front.rotor.core.peak", "closest", "mass.unsprung" },
  case = function(x)
    if x.bore == "63 mm" and (x.ring == "8 kg" or x.ring == "9 kg") then
      error("no ring of this mass, on purpose", 0)
    end
    return {
      course = course, stint = stint,
      car = coupe:with { front = { duct = { bore = x.bore }, rotor = { ring_mass = x.ring } } },
    }
  end,
}
print(#grid .. " rows")
if el.args.twice then
  el.sweep {
    journal = "rings", over = { bore = { "51 mm" } },
    case = function() return { course = course, stint = stint, car = coupe } end,
  }
end
if el.args.over_it then
  grid:save "rings.csv"
end
