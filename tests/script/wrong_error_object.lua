-- SPDX-License-Identifier: MIT
error({ code = 2 })
-- expect error: emberlap: wrong_error_object.lua:2: the script raised a table as its error; error("text") tells people why
