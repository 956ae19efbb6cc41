-- SPDX-License-Identifier: MIT
-- Parts that answer by themselves.
local el = require "emberlap"
local fluid = el.fluid { grade = "DOT 4", water = "1 %" }
-- FMVSS 116: 230 C dry, 155 C wet at least
-- expect: 230 155
print(("%.0f %.0f"):format(fluid:boils_at { water = 0 }, fluid:boils_at { water = "3.7 %" }))
assert(fluid:boils_at { altitude = "2000 m" } < fluid:boils_at())
assert(fluid:boils_at { pressure = "10 bar" } > fluid:boils_at())
-- a hose of 76.2 mm, 1.2 m, two bends: 85.86 and 71.89 litres/s at 30 m/s, smooth and corrugated,
-- computed from handbook loss coefficients, at 1.204 kg/m3
local hose = el.duct { bore = "76.2 mm", length = "1.2 m", bends = 2, recovery = 0.9,
                       back_pressure = 0, hose = "smooth", aim = "eye" }
local ridged = hose:with { hose = "corrugated" }
local at = { speed = 30, ambient = 20 }
-- expect: 0.1034 0.0866
print(("%.4f %.4f"):format(hose:flow(at), ridged:flow(at)))
assert(hose:with { taped = 1 }:flow(at) == 0)
local rotor = el.rotor { diameter = "355 mm", thickness = "32 mm", ring_mass = "7.9 kg",
                         hat_mass = "1.2 kg", vanes = 48 }
-- expect: 9.1
print(rotor:mass())
local still, moving = rotor:cooling { temperature = 500 }, rotor:cooling { speed = 40, temperature = 500 }
local fed = rotor:cooling { speed = 40, temperature = 500, duct = hose }
assert(still.convection < moving.convection and moving.convection < fed.convection)
assert(fed.vanes > moving.vanes and still.radiation == fed.radiation and moving.watts > 0)
local pad = el.pad { area = "60 cm2", height = "50 mm", thickness = "15 mm", window = { 100, 700 },
                     friction = { { 0, 0.4 }, { 400, 0.5 } }, speed_effect = { { 0, 1 }, { 50, 0.9 } } }
-- expect: 0.450 0.405
print(("%.3f %.3f"):format(pad:friction_at { temperature = 200, speed = 0 },
                           pad:friction_at { temperature = 200, speed = 50 }))
-- expect: 0.338
print(("%.3f"):format(pad:with { condition = "green" }:friction_at { temperature = 200, speed = 0 }))
-- a law of one's own is a table before it runs
local own = pad:with { friction = function(T) return 0.4 + T / 4000 end }
-- expect: 0.450
print(("%.3f"):format(own:friction_at { temperature = 200, speed = 0 }))
print(pcall(fluid.boils_at, fluid, { wather = 1 }))
-- expect: did you mean "water"?
