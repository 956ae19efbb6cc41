-- SPDX-License-Identifier: MIT
require "modules.nothing"
