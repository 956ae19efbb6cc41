-- SPDX-License-Identifier: MIT
require "modules.circle_a"
