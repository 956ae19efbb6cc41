-- SPDX-License-Identifier: MIT
require "modules.circle_a"
-- expect error: emberlap: modules/circle_b.lua:2: modules require each other in a circle: modules.circle_a requires modules.circle_b requires modules.circle_a
