-- SPDX-License-Identifier: MIT
-- table.move over 2^63 empty places.
-- expect error: does not stop when asked
table.move({}, 1, math.maxinteger - 1, 2)
