-- SPDX-License-Identifier: MIT
-- A screening says so wherever its results go, and is near what the default mode finds.
-- expect: Steps      screening mode: most peaks within 5 K
-- expect: 4 of 4 rows were screened: most peaks within 5 K
-- expect: 1 of 1 rows were screened
-- expect: modes: default, default, screening, screening
local el = require "emberlap"
local m = require "modules.coupe"

local function sweep(mode)
  return el.sweep {
    over = { ring_kg = el.range(7, 10, 4) },
    case = function(x)
      return { car = m.car:with { front = { rotor = { ring_mass = x.ring_kg } } },
               course = m.course, stint = m.stint, mode = mode }
    end,
  }
end
local run = el.run { car = m.car, course = m.course, stint = m.stint, mode = "screening" }
print(run)
assert(math.abs(run.residual) > 1e-12 and math.abs(run.residual) < 1e-5)
local screened, whole = sweep "screening", sweep "default"
print(screened)
print(screened:where(function(row) return row.ring_kg == "7" end))
local modes = {}
for _, grid in ipairs { whole, screened } do
  for row = 1, 2 do modes[#modes + 1] = grid[row].mode end
end
print("modes: " .. table.concat(modes, ", "))
for row = 1, 4 do
  for _, name in ipairs { "front.rotor.core.peak", "front.caliper.peak", "rear.pad.peak" } do
    local off = math.abs(screened[row][name] - whole[row][name])
    assert(off > 0 and off < 5, name)
  end
end
