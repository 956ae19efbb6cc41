-- SPDX-License-Identifier: MIT
require "modules.nothing"
-- expect error: emberlap: wrong_missing_module.lua:2: no module "modules/nothing.lua" beside the script (.)
