-- SPDX-License-Identifier: MIT
-- The shared coupe with a pedal, tyres that are known, prices and a rotor's minimum.
local m = require "modules.coupe"
local el = require "emberlap"

local wide = { "20 C", "1100 C" }
local M = { course = m.course, stint = m.stint }

M.pedal = el.pedal { ratio = 5.2, effort_limit = "700 N", distribution = "bar", balance = 0.66,
                     master = { front = "20 mm", rear = "17.8 mm", cost = 180, labour = "1 h" } }
M.car = m.car:with {
  pedal = M.pedal, tyre = { grip = 1.25 }, fluid = { cost = 30, labour = "45 min" },
  front = { rotor = { minimum = "30 mm", cost = 220, labour = "90 min" }, pad = { cost = 240, window = wide } },
  rear = { pad = { window = wide } },
}

return M
