-- SPDX-License-Identifier: MIT
-- Wide ducts on a cold morning: the front pads are below their window when the first hard stop
-- comes, and at the rear a hose aimed at the rotor cools one face.
-- expect: MARGINAL: front pads are 4 K below the bottom of their window at the first hard stop
-- expect: The rear duct cools one face of the rotor only: that cones it and cracks it
-- expect: taped: front cold pad holds
local f = require "tests.script.modules.failures"
local el = require "emberlap"
local duct = el.duct { bore = "102 mm", length = "0.8 m", bends = 1, inlet = "nose",
                       hose = "smooth" }
local stint = { out = 3, hot = 3, ambient = "5 C" }

local function run(taped)
  local front = { aim = "eye", taped = taped }
  local rear = { aim = "face", bore = "51 mm", taped = taped }
  return f.run({ front = { pad = { window = { "130 C", "850 C" } }, duct = duct:with(front) },
                 rear = { duct = duct:with(rear) } }, stint)
end

local open = run(0)
print(f.verdict(open))
print(f.page(open):match "The rear duct cools one face.-session%.")
local cold = f.check(open, "front cold pad")
assert(open.checks[1].name == cold.name and cold.verdict == "marginal" and cold.margin < 0)

-- the milder twin: the same ducts taped shut
local taped = run(1)
print("taped: front cold pad " .. f.check(taped, "front cold pad").verdict)
assert(taped.verdict == "holds")
