-- SPDX-License-Identifier: MIT
-- What the failure scripts share: a coupe of our own on the demo log, and how a run is told.
local el = require "emberlap"

local M = {}

local friction = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.46 }, { 800, 0.34 } }

-- As it stands it holds: wide windows, fresh fluid.
M.car = el.car {
  mass = "1420 kg", tyre = { radius = "318 mm" }, aero = { drag_area = "0.72 m2" },
  fluid = el.fluid { dry = "312 C", wet = "205 C", water = "1.5 %" },
  front = el.brake {
    rotor = el.rotor { diameter = "355 mm", thickness = "32 mm", ring_mass = "8.3 kg",
                       hat_mass = "1.2 kg", construction = "two-piece", hat = "plain", vanes = 48 },
    pad = el.pad { area = "62 cm2", height = "50 mm", thickness = "16 mm", thickness_now = "9 mm",
                   friction = friction, window = { "50 C", "850 C" } },
    caliper = el.caliper { type = "fixed", pistons = { "38 mm", "34 mm", "30 mm" },
                           mass = "3.4 kg" },
  },
  rear = el.brake {
    rotor = el.rotor { diameter = "340 mm", thickness = "28 mm", ring_mass = "6.6 kg",
                       hat_mass = "2.1 kg", construction = "one-piece", hat = "plain", vanes = 40 },
    pad = el.pad { area = "48 cm2", height = "46 mm", thickness = "14 mm", friction = friction,
                   window = { "20 C", "700 C" } },
    caliper = el.caliper { type = "fixed", pistons = { "34 mm", "30 mm" }, mass = "2.5 kg" },
  },
}

-- One logged session of this car; its braking is read from it whatever car is run.
local course = el.trace { file = "tracks/harrow_vale_log.csv", time = "Time", speed = "Speed",
                          lap = "Lap", distance = "Distance", of = M.car }

M.stint = el.stint { out = 1, hot = 6, cool = 1, park = "10 min", ambient = "25 C" }

function M.run(changes, stint, limits)
  return el.run { car = M.car:with(changes), course = course, stint = M.stint:with(stint or {}),
                  limits = limits }
end

-- The first sentence of the page, on one line.
function M.verdict(run)
  return (tostring(run):match("^(.-)\nHot laps"):gsub("%s+", " "))
end

-- The whole page on one line, to look for a note in.
function M.page(run)
  return (tostring(run):gsub("%s+", " "))
end

function M.check(run, name)
  for _, check in ipairs(run.checks) do
    if check.name == name then return check end
  end
  error("no check " .. name)
end

return M
