-- SPDX-License-Identifier: MIT
-- The question: an endurance day of four stints. Which pads, and how many sets, for stints of 20,
-- 40 or 60 hot laps; is the cheap set the cheap day?
--
-- Why it comes out as it does: a pad loses so much material for each MJ, and from an onset on that
-- grows with the temperature of the face, twofold for every 100 K or so. The faces run at some
-- 715 C whatever the pad, since car and speed make the heat. So the sprint pad, which loses the
-- least while it is cool, loses several times more than the others here: this is above its window.
-- Three times the laps are three times the wear, and more for pads past their onset, whose first
-- laps are not hot yet. Sets come whole.
-- expect: SWEEP of laps (3) by pad (3): 9 rows
-- expect: A front rotor core, B front pad face, C front pad wear.
-- expect: front.pad.sets
-- expect: the sprint pad loses 4
-- expect: long: 1 set of 420
-- expect: medium: 1 set of 290
-- expect: sprint: 3 sets of 210, 630 in all, fails by the front pad wear
local el = require "emberlap"
local c = require "parts.coupe"

-- windows, wear while cool, and the price of a set; invented, as everything here
local pads = {
  sprint = { thickness_now = "16 mm", window = { "60 C", "650 C" }, wear = "180 mm3/MJ",
             cost = 210 },
  medium = { thickness_now = "16 mm", window = { "60 C", "780 C" }, wear = "200 mm3/MJ",
             cost = 290 },
  long = { thickness_now = "16 mm", window = { "60 C", "900 C" }, wear = "220 mm3/MJ",
             cost = 420 },
}

local car = c.car:with { front = { duct = el.duct { bore = "51 mm", length = "1.4 m" } } }
local grid = el.sweep {
  over = { laps = { 20, 40, 60 }, pad = pads },
  case = function(x)
    return { car = car:with { front = { pad = x.pad } },
             course = c.course, stint = c.stint:with { hot = x.laps }, event = { sessions = 4 } }
  end,
  measures = { "closest", "front.pad.sets", "front.pad.left", "front.pad.sessions",
               "front.pad.peak" },
}
print(grid)

-- the rows of one number of laps: long, medium, sprint
local function worn(row) return 16e-3 - grid[row]["front.pad.left"] end
local long, medium, sprint = worn(7) / worn(1), worn(8) / worn(2), worn(9) / worn(3)
assert(long > 2.7 and long < 3.1 and medium > long and sprint > medium and sprint < 4)
-- no more than one face at its peak all the time: exp(60 kJ/mol / R (1/onset - 1/T))
local factor = worn(9) / worn(7) * 220 / 180
local most = math.exp(60e3 / 8.314 * (1 / (500 + 273) - 1 / (grid[9]["front.pad.peak"] + 273)))
assert(factor > 2.5 and factor < most)
print(("the sprint pad loses %.1f times what the long one does"):format(worn(9) / worn(7)))

print "60 laps a stint, the whole day:"
for row = 7, 9 do
  local r = grid[row]
  local sets, price = r["front.pad.sets"], pads[r.pad].cost
  assert(sets == math.ceil(4 / r["front.pad.sessions"]))
  print(("  %s: %.0f set%s of %d, %.0f in all, %s by the %s"):format(r.pad, sets,
        sets > 1 and "s" or "", price, sets * price, r.verdict, r.limit))
end
