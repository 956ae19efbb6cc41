-- SPDX-License-Identifier: MIT
-- The coupe of modules/failures.lua with a pedal, a balance bar and tyres of known grip.
local el = require "emberlap"
local f = require "tests.script.modules.failures"

local M = { verdict = f.verdict, page = f.page, check = f.check }

M.car = f.car:with {
  mass = "1320 kg", front_weight = "48 %", cg_height = "47 cm", wheelbase = "2.6 m",
  tyre = { grip = 1.45 },
  pedal = {
    ratio = 5.2, effort_limit = "670 N", distribution = "bar", balance = 0.59,
    master = { front = "19.05 mm", rear = "22.2 mm", stroke = "36 mm" },
  },
}

M.course = el.trace { file = "tracks/harrow_vale_log.csv", time = "Time", speed = "Speed",
                      lap = "Lap", distance = "Distance", of = f.car }

M.stint = f.stint

function M.run(changes, stint, more)
  local case = { car = M.car:with(changes or {}), course = M.course,
                 stint = M.stint:with(stint or {}) }
  for key, value in pairs(more or {}) do case[key] = value end
  return el.run(case)
end

return M
