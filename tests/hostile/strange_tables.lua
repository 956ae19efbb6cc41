-- SPDX-License-Identifier: MIT
-- Tables that contain themselves, nest too deep, have holes, and keys of every kind.
-- expect: refused
local el = require "emberlap"
local function refused(t)
  for _, f in ipairs { el.car, el.pad, el.stint, el.run, el.network, el.brake } do
    local ok, why = pcall(f, t)
    assert(not ok and type(why) == "string" and #why < 4000)
  end
end
local self = {}
self.front, self[1] = self, self
local deep, list = {}, {}
for _ = 1, 100000 do deep = { front = deep } list = { list } end
local wide = {}
for i = 1, 200000 do wide[i] = i end
for _, t in ipairs { self, { front = self }, deep, list, wide, { front = wide }, { nil, nil, 1 }, { [0] = 1 },
                     { [-1] = 1 }, { [1.5] = 1 }, { [true] = 1 }, { [print] = 1 }, { [{}] = 1 }, { [1 << 62] = 1 },
                     { mass = 0 / 0 }, { mass = 1 / 0 }, { mass = 1 << 62 }, { mass = print }, { mass = el.none },
                     { mass = coroutine.create(print) }, { ["a\0b"] = 1 }, { ["\27[2J"] = 1 }, { front = el } } do
  refused(t)
end
print "refused"
