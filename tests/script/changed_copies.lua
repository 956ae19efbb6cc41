-- SPDX-License-Identifier: MIT
-- :with, el.none, documents, and values on the command line.
-- args: bore=76 empty=
local el = require "emberlap"
local m = require "modules.coupe"
-- expect: 76		nil
print(el.args.bore, el.args.empty, el.args.other)

local disc = el.rotor "modules/rotor.yaml"
-- expect: rotor { diameter = 0.355 m, ring_mass = 7.9 kg, thickness = 0.032 m, vanes = 48 }
print(disc)
-- expect: rotor { diameter = 0.355 m, ring_mass = 8 kg, thickness = 0.032 m }
print(disc:with { ring_mass = "8 kg", vanes = el.none })
-- expect: rotor { diameter = 0.355 m, ring_mass = 7.9 kg, thickness = 0.032 m, vanes = 48 }
print(disc)

-- a list part replaces a list part, keys stay
local stint = el.stint { { "out" }, { "hot", laps = 3 }, ambient = "30 C" }
local run = el.run { car = m.car, course = m.course,
                     stint = stint:with { { "out" }, { "hot" }, { "in" } } }
-- expect: 3
print(#run.laps)
-- a change that changes nothing, and one beneath that does
assert(el.run { car = m.car:with {}, course = m.course, stint = m.stint }.front.pad.peak ==
       el.run { car = m.car:with { front = {} }, course = m.course, stint = m.stint }.front.pad.peak)
local light = m.car:with { mass = "1200 kg" }
-- the log says where the brakes were on, for the car that made it
local course = m.course:with { of = m.car }
-- expect: less
if el.run { car = light, course = course, stint = m.stint }.energy <
   el.run { car = m.car, course = course, stint = m.stint }.energy then print "less" end
