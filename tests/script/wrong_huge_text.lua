-- SPDX-License-Identifier: MIT
local s = ("x"):rep(1e12)
-- expect error: emberlap: wrong_huge_text.lua:2: resulting string too large
