-- SPDX-License-Identifier: MIT
io.open("x")
