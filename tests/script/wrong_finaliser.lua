-- SPDX-License-Identifier: MIT
setmetatable({}, { __gc = function() end })
-- expect error: emberlap: wrong_finaliser.lua:2: __gc is not for scripts
