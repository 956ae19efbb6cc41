-- SPDX-License-Identifier: MIT
-- The question: the coupe with a road car's fluid does not last twelve hot laps at 32 C. Rings,
-- pads, calipers, ducts, masters and fluids are on the shelf (parts/catalogue.lua, all invented):
-- out of everything that goes together, which five packages are the least money that holds, what
-- gives out first in each, and would one change alone do?
--
-- Why it comes out as it does: the fluid boils and the pads are past their window, and both get
-- their heat from the rotor. A better fluid moves one limit and leaves the other; a large duct sheds
-- heat all session and is nearly enough by itself, but leaves the old fluid too little. So it is
-- the duct, and the cheapest fluid that leaves more than a band.
--
--   emberlap run scripts/shortlist.lua           by money
--   emberlap run scripts/shortlist.lua by=mass   by mass, or by=event, by=labour
--
-- expect: SHORTLIST of 111132 combinations, least money first
-- expect: As it is   fails: front fluid
-- expect: PACKAGES THAT HOLD
-- expect: 1    889.00   510.00
-- expect: front.duct: Lee 102, sealed plate; fluid: Rill 290/180
-- expect: ONE CHANGE ALONE
-- expect: front.duct: none is enough; nearest Lee 102, sealed plate for 810.00,
-- expect: marginal: front fluid
-- expect: fluid: none is enough
-- expect: the cheapest is the duct and the fluid, and holds when it is run in full

local el = require "emberlap"
local c = require "parts.coupe"
local parts = require "parts.catalogue"

-- The coupe with its pedal, and the fluid of a road car in it. What is on the car is paid for.
local coupe = c.with_pedal:with {
  fluid = el.fluid { dry = "268 C", wet = "162 C", water = "1 %" },
}

local list = el.shortlist {
  car = coupe, course = c.course, stint = c.stint:with { out = 2 },
  event = { labour_rate = 75 },
  change = { -- what may change, and to what; what is there may stay, and costs nothing
    ["front.rotor"] = parts.rotors,
    ["front.pad"] = parts.pads,
    ["front.caliper"] = parts.calipers,
    ["front.duct"] = parts.ducts,
    ["pedal.master"] = parts.masters,
    fluid = parts.fluids,
  },
  fits = {
    wheel = "430 mm", -- inside the rim, where the caliper turns
    -- what is on the car, which is in no catalogue
    ["front.caliper"] = { diameter = { "345 mm", "362 mm" }, thickness = { "30 mm", "34 mm" },
                          stack = "29 mm", pad = "A" },
    ["front.pad"] = { pad = "A" },
  },
  need = "holds",
  want = 5,
  by = el.args.by or "cost",
}
print(list)

-- The car of a row is a definition like any other: its page says the rest.
local best = list[1]
local run = el.run { car = best.car, course = c.course, stint = c.stint:with { out = 2 } }
if best.picks["front.duct"] and best.picks.fluid and run.verdict == "holds" then
  print "the cheapest is the duct and the fluid, and holds when it is run in full"
end
