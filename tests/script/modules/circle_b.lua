-- SPDX-License-Identifier: MIT
return require "modules.circle_a"
