-- SPDX-License-Identifier: MIT
error({ code = 2 })
