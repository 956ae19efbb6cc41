-- SPDX-License-Identifier: MIT
-- A duct to the eye of a rotor whose vane inlets open on the other side; and a duct under tape.
-- expect: inverted hat, less than 5 K
-- expect: its vane inlets are behind the wheel, and only 4 % of the duct's air gets to them
-- expect: taped, 0.0 K: The front duct brings no air: its inlet is taped shut
-- expect: plain hat and sealed plate, more than 30 K
local f = require "tests.script.modules.failures"
local el = require "emberlap"
local duct = el.duct { bore = "76 mm", length = "1.2 m", inlet = "nose", aim = "open eye" }

local function core(hat, hose)
  local run = f.run({ front = { rotor = { hat = hat }, duct = hose } })
  return run.front.rotor.core.peak, run
end

local without = core "inverted"
local with, run = core("inverted", duct)
assert(run.front.duct_flow > 0.1) -- air there is
if without - with > 0 and without - with < 5 then print "inverted hat, less than 5 K" end
print(f.page(run):match "its vane inlets.-gets to them")

local taped, shut = core("inverted", duct:with { taped = 1 })
local note = f.page(shut):match "The front duct brings no air.-shut"
print(("taped, %.1f K: %s"):format(without - taped, note))

-- the twin: plain hat and sealed plate
if core "plain" - core("plain", duct:with { aim = "eye" }) > 30 then
  print "plain hat and sealed plate, more than 30 K"
end
