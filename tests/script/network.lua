-- SPDX-License-Identifier: MIT
-- Networks against closed forms.
local el = require "emberlap"

-- One lump cooling: 20 + 480 exp(-t G / C), at t = C / G that is 20 + 480 / e.
local one = el.network {
  nodes = { disc = { capacity = "4 kJ/K", start = 500 } }, ambient = "20 C",
  links = { { from = "disc", to = "ambient", conductance = "10 W/K" } },
}
local r = one:simulate { duration = 400, every = 100 }
-- expect: 196.582
print(string.format("%.3f", r.disc.final)) -- 196.5821
-- expect: 500.0	0.0	5
print(r.disc.peak, r.disc.peak_at, #r.disc.history)
-- expect: 100.0	393.824
print(r.disc.history[2][1], string.format("%.3f", r.disc.history[2][2])) -- 20 + 480 exp(-1/4)

-- Heat without a way out: its energy over the capacity. 15 kJ, 5 kJ, 5 kJ, 2 kJ into 1 kJ/K.
local C = { capacity = 1000, start = 0 }
local net = el.network {
  nodes = { ramp = C, jump = C, switch = C, steady = C },
  heat = { ramp = { { 0, 0 }, { "10 s", "1 kW" } }, steady = "100 W",
           jump = { { 0, 1000 }, { 5, 1000 }, { 5, 0 } },
           switch = function(t) return t < 5 and 1000 or 0 end },
}
-- expect: jump	5.0000
-- expect: ramp	15.0000
-- expect: steady	2.0000
-- expect: switch	5.0000
for name, node in pairs(net:simulate { duration = "20 s", step = 0.013 }) do
  print(name, string.format("%.4f", node.final))
end

-- Two lumps come to the mean weighted by capacity: (1000 x 100 + 3000 x 20) / 4000 = 40.
local two = el.network {
  nodes = { a = { capacity = 1000, start = 100 }, b = { capacity = 3000, start = 20 } },
  links = { { from = "a", to = "b", conductance = 50 } },
}
local t = two:simulate { duration = "10 min" }
-- expect: 40.0000 40.0000
print(string.format("%.4f %.4f", t.a.final, t.b.final))
