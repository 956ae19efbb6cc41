-- SPDX-License-Identifier: MIT
local s = ("x"):rep(1e12)
