-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.duct { bore = "76 mm", length = "1.2 m", taped = 50 }
-- expect error: emberlap: wrong_duct_taped_slip.lua:3: duct.taped: 50 is outside 0 to 1; did you mean "50 %"?
