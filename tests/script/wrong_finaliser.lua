-- SPDX-License-Identifier: MIT
setmetatable({}, { __gc = function() end })
