-- SPDX-License-Identifier: MIT
local el = require "emberlap"
el.duct { bore = "76", length = "1.2 m" }
-- expect error: emberlap: wrong_duct_bore_slip.lua:3: duct.bore: "76" (76 m) is outside 0.02 m to 0.2 m; did you mean "76 mm"?
