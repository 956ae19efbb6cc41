-- SPDX-License-Identifier: MIT
io.open("x")
-- expect error: emberlap: wrong_open_file.lua:2: attempt to index a nil value (global 'io')
