-- SPDX-License-Identifier: MIT
-- The coupe, its course and its session, which the questions in scripts/ share: copy it and put
-- your own car in. Everything in it is invented; the log was written by tests/support/make_log.c.
local el = require "emberlap"

local M = {}

-- The same curve on both axles keeps the balance where it is as the pads get hot.
local friction = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.46 }, { 800, 0.34 } }

M.car = el.car {
  mass = "1420 kg", -- on the scales, driver in
  front_weight = "46 %", cg_height = "46 cm", wheelbase = "2.62 m",
  tyre = { radius = "318 mm" },
  aero = { drag_area = "0.72 m2" },
  fluid = el.fluid { dry = "312 C", wet = "205 C", water = "1.5 %" },
  front = el.brake {
    rotor = el.rotor {
      diameter = "355 mm", thickness = "32 mm", ring_mass = "8.3 kg", hat_mass = "1.2 kg",
      construction = "two-piece", hat = "plain", vanes = 48,
    },
    pad = el.pad {
      area = "62 cm2", height = "50 mm", thickness = "16 mm", thickness_now = "12 mm",
      friction = friction, window = { "60 C", "820 C" },
    },
    caliper = el.caliper { type = "fixed", pistons = { "38 mm", "34 mm", "30 mm" },
                           mass = "3.4 kg" },
  },
  rear = el.brake {
    rotor = el.rotor {
      diameter = "340 mm", thickness = "28 mm", ring_mass = "6.6 kg", hat_mass = "2.1 kg",
      construction = "one-piece", hat = "plain", vanes = 40,
    },
    pad = el.pad {
      area = "48 cm2", height = "46 mm", thickness = "14 mm",
      friction = friction, window = { "40 C", "650 C" },
    },
    caliper = el.caliper { type = "fixed", pistons = { "34 mm", "30 mm" }, mass = "2.5 kg" },
  },
}

-- A session that this car drove. Its braking is read from it as that of this car, whatever car is
-- asked about; its median hot lap is the one that is repeated.
M.course = el.trace {
  file = "tracks/harrow_vale_log.csv", time = "Time", speed = "Speed", lap = "Lap",
  distance = "Distance", of = M.car,
}

M.stint = el.stint { out = 1, hot = 12, cool = 1, park = "10 min", ambient = "32 C" }

-- What the driver's foot works on, for questions of travel, pressure and who locks first.
M.with_pedal = M.car:with {
  tyre = { grip = 1.45 },
  pedal = {
    ratio = 5, effort_limit = "650 N", distribution = "bar", balance = "56 %",
    master = { front = "17.8 mm", rear = "22.2 mm", stroke = "34 mm" },
  },
}

-- The check of a run by its name, such as "front fluid".
function M.check(run, name)
  for _, check in ipairs(run.checks) do
    if check.name == name then return check end
  end
  error("no check " .. name)
end

return M
