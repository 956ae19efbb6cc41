-- SPDX-License-Identifier: MIT
-- An error whose __tostring, __name, __index and __concat never return: nobody may ask it.
-- expect error: raised a table as its error
local function forever() while true do end end
error(setmetatable({}, { __tostring = forever, __name = setmetatable({}, { __tostring = forever }),
                         __index = forever, __concat = forever, __len = forever, __call = forever }))
