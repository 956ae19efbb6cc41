---@meta emberlap
-- SPDX-License-Identifier: MIT
-- What Lua editors know of emberlap's scripts. Written by `emberlap help annotations`; it is
-- never run. Units, ranges and defaults stand behind each key.

---Points { { x, y }, ... } with x rising, or a function of x that is sampled once.
---@alias emberlap.curve number[][]|fun(x: number): number
---One heat transfer coefficient, or a function of speed (m/s) and temperature (C), in W/m2K.
---@alias emberlap.film number|string|fun(speed: number, temperature: number): number
---Such as 0.3 or "30 %"; a bare number is in 0..1.
---@alias emberlap.share number|string
---Such as 4.
---@alias emberlap.count number|string
---Such as "350 mm"; a bare number is in m.
---@alias emberlap.length number|string
---Such as "62 cm2"; a bare number is in m2.
---@alias emberlap.area number|string
---Such as "150 ml"; a bare number is in m3.
---@alias emberlap.volume number|string
---Such as "7.9 kg"; a bare number is in kg.
---@alias emberlap.mass number|string
---Such as "10 min"; a bare number is in s.
---@alias emberlap.time number|string
---Such as "180 km/h"; a bare number is in m/s.
---@alias emberlap.speed number|string
---Such as "0.9 g"; a bare number is in m/s2.
---@alias emberlap.acceleration number|string
---Such as "700 N"; a bare number is in N.
---@alias emberlap.force number|string
---Such as "80 bar"; a bare number is in Pa.
---@alias emberlap.pressure number|string
---Such as "260 kW"; a bare number is in W.
---@alias emberlap.power number|string
---Such as "300 C"; a bare number is in C.
---@alias emberlap.temperature number|string
---Such as "30 K"; a bare number is in K.
---@alias emberlap.temperature_difference number|string
---Such as "7200 kg/m3"; a bare number is in kg/m3.
---@alias emberlap.density number|string
---Such as "50 W/mK"; a bare number is in W/mK.
---@alias emberlap.conductivity number|string
---Such as "500 J/kgK"; a bare number is in J/kgK.
---@alias emberlap.specific_heat number|string
---Such as "60 W/m2K"; a bare number is in W/m2K.
---@alias emberlap.heat_transfer_coefficient number|string
---Such as "5 W/K"; a bare number is in W/K.
---@alias emberlap.conductance number|string
---Such as "900 J/K"; a bare number is in J/K.
---@alias emberlap.heat_capacity number|string
---Such as "1.2 MJ"; a bare number is in J.
---@alias emberlap.energy number|string
---Such as 1; a bare number is in m3/J.
---@alias emberlap.wear number|string
---Such as 1; a bare number is in J/mol.
---@alias emberlap.molar_energy number|string
---Such as 1; a bare number is in N/s.
---@alias emberlap.rate_of_force number|string
---Such as 1; a bare number is in rad/s.
---@alias emberlap.rate_of_turn number|string
---Such as "90 deg"; a bare number is in deg.
---@alias emberlap.angle number|string
---Such as 1.
---@alias emberlap.sum_of_money number|string
---Such as 1.
---@alias emberlap.number number|string

---@alias emberlap.measure
---| "closest" # margin of the tightest check, in bands
---| "front.fluid.margin" # below the boiling point that judges
---| "front.rotor.core.peak" # hottest rotor core
---| "front.caliper.peak" # hottest caliper body
---| "front.pad.peak" # hottest pad face
---| "front.fluid.peak" # hottest fluid
---| "front.fluid.margin_wet" # below the wet boiling point
---| "front.fluid.margin_now" # below the boiling point as it is now
---| "front.fluid.vapour" # boiled off in one caliper
---| "front.rotor.face.peak" # hottest rubbed face
---| "front.rotor.hat.peak" # hottest rotor hat
---| "front.rotor.gradient" # widest a rubbed face stood above its core
---| "front.rotor.left_event" # thickness after the event
---| "front.rotor.sessions" # sessions until the minimum thickness
---| "front.rotor.cycles" # stops that strain the skin
---| "front.rotor.crack" # crack indicator: ranks, no life
---| "front.rotor.stress" # of a held skin at the widest gradient
---| "front.pad.left" # friction material after the stint
---| "front.pad.left_event" # friction material after the event
---| "front.pad.sessions" # sessions a set lasts from now
---| "front.pad.sets" # sets for the event
---| "front.duct_flow" # kg/s of air to one wheel at top speed
---| "rear.fluid.margin" # below the boiling point that judges
---| "rear.rotor.core.peak" # hottest rotor core
---| "rear.caliper.peak" # hottest caliper body
---| "rear.pad.peak" # hottest pad face
---| "rear.fluid.peak" # hottest fluid
---| "rear.fluid.margin_wet" # below the wet boiling point
---| "rear.fluid.margin_now" # below the boiling point as it is now
---| "rear.fluid.vapour" # boiled off in one caliper
---| "rear.rotor.face.peak" # hottest rubbed face
---| "rear.rotor.hat.peak" # hottest rotor hat
---| "rear.rotor.gradient" # widest a rubbed face stood above its core
---| "rear.rotor.left_event" # thickness after the event
---| "rear.rotor.sessions" # sessions until the minimum thickness
---| "rear.rotor.cycles" # stops that strain the skin
---| "rear.rotor.crack" # crack indicator: ranks, no life
---| "rear.rotor.stress" # of a held skin at the widest gradient
---| "rear.pad.left" # friction material after the stint
---| "rear.pad.left_event" # friction material after the event
---| "rear.pad.sessions" # sessions a set lasts from now
---| "rear.pad.sets" # sets for the event
---| "rear.duct_flow" # kg/s of air to one wheel at top speed
---| "mass.unsprung" # brakes of four wheels
---| "mass.equivalent" # what the rotors' turning adds
---| "mass.front" # brake of one front wheel
---| "mass.rear" # brake of one rear wheel
---| "cost" # parts and the labour to fit them
---| "cost.parts" # parts
---| "cost.labour" # labour to fit the parts
---| "cost.event" # used up by the event
---| "cost.unpriced" # parts without a price, which cost nothing here
---| "pedal.pressure" # front line pressure, hardest stop
---| "pedal.rear_pressure" # rear line pressure, hardest stop
---| "pedal.effort" # at the hardest stop
---| "pedal.travel" # at the pad, hardest stop
---| "pedal.used" # of a master's stroke, hardest stop
---| "pedal.reserve" # of a master's stroke, hardest stop
---| "pedal.with_vapour" # stroke used with the vapour of boiled fluid
---| "pedal.shortfall" # braking left undone
---| "balance.front" # front share of the braking, hardest stop
---| "balance.ideal" # the ideal front share there
---| "balance.ahead" # front share above the ideal one at the first lock
---| "balance.bite" # what a stab of the pedal gets
---| "balance.asked" # highest deceleration of the stint
---| "balance.grip" # deceleration to be had
---| "balance.lock_deceleration" # at the first lock
---| "energy" # braking energy of the stint
---| "hot_energy" # braking energy of the last hot lap
---| "duration" # of the stint
---| "residual" # share of the heat not accounted for

---Keys of load to change.
---@class emberlap.car.load.changes
---@field passenger? emberlap.mass a passenger (0 kg to 250 kg; 0 kg)
---@field luggage? emberlap.mass tools, spares, luggage (0 kg to 300 kg; 0 kg)
---@field ballast? emberlap.mass ballast (0 kg to 300 kg; 0 kg)

---What rides along.
---@class emberlap.car.load.keys : emberlap.car.load.changes

---Keys of fuel to change.
---@class emberlap.car.fuel.changes
---@field start? emberlap.mass fuel in the tank at the start, on top of the car's mass (0 kg to 200 kg; 0 kg)
---@field per_lap? emberlap.mass fuel used in a lap (0 kg to 20 kg; 0 kg)

---Fuel and its use.
---@class emberlap.car.fuel.keys : emberlap.car.fuel.changes

---Keys of aero to change.
---@class emberlap.car.aero.changes
---@field drag_area? emberlap.area drag coefficient times frontal area (0.1 m2 to 3 m2; 0.7 m2)
---@field downforce_area? emberlap.area downforce coefficient times frontal area (0 m2 to 8 m2; 0 m2)
---@field front_share? emberlap.share share of the downforce on the front axle (0 to 1; 0.45)

---What the air does.
---@class emberlap.car.aero.keys : emberlap.car.aero.changes

---Keys of tyre to change.
---@class emberlap.car.tyre.changes
---@field radius? emberlap.length rolling radius (0.2 m to 0.5 m; required)
---@field grip? emberlap.number friction of the tyres at the load they carry at rest; without it no lock and no grip is judged (0.2 to 3; none)
---@field load_sensitivity? emberlap.share share of its grip that a tyre loses when its load doubles (0 to 0.45; 0.1)

---The tyres.
---@class emberlap.car.tyre.keys : emberlap.car.tyre.changes
---@field radius emberlap.length rolling radius (0.2 m to 0.5 m; required)

---Keys of gearing to change.
---@class emberlap.car.gearing.changes
---@field driven? "front"|"rear"|"all" the wheels that are driven (`"rear"`)
---@field torque? emberlap.curve torque of the engine, N m, over its revs a minute: { { 1000, 250 }, { 7000, 310 } }; below the first pair the clutch slips at its torque, above the last there is none (2 to 64 pairs, value 0 to 3000; none)
---@field ratios? emberlap.number[] ratios of the gears, the first gear first: { 3.6, 2.2, 1.5, 1.1 } (1 to 8 values, each 0.2 to 20; none)
---@field final? emberlap.number ratio of the final drive (0.5 to 20; none)
---@field efficiency? emberlap.share share of the engine's torque that reaches the wheels (0.5 to 1; 0.9)

---From the engine to the driven wheels.
---@class emberlap.car.gearing.keys : emberlap.car.gearing.changes

---Keys of car to change.
---@class emberlap.car.changes
---@field mass? emberlap.mass mass on the scales with the driver in, without fuel where fuel is given (200 kg to 4000 kg; required)
---@field load? emberlap.car.load.changes what rides along, added to the mass
---@field fuel? emberlap.car.fuel.changes fuel, added to the mass and used lap by lap
---@field rotating? emberlap.share mass that wheels, rotors and driveline add when the car slows (0 to 0.2; 0.04)
---@field rolling? emberlap.share rolling resistance over weight (0 to 0.1; 0.015)
---@field engine_braking? emberlap.acceleration deceleration by the engine with the throttle closed (0 m/s2 to 3 m/s2; 0.4 m/s2)
---@field aero? emberlap.car.aero.changes what the air does
---@field tyre? emberlap.car.tyre.changes the tyres
---@field fluid? emberlap.fluid|emberlap.fluid.changes the brake fluid
---@field front? emberlap.brake|emberlap.brake.changes the front brakes
---@field rear? emberlap.brake|emberlap.brake.changes the rear brakes
---@field front_weight? emberlap.share share of the weight on the front axle, driver in (0.3 to 0.75; 0.53)
---@field cg_height? emberlap.length height of the centre of gravity (0.2 m to 1.2 m; 0.5 m)
---@field wheelbase? emberlap.length distance between the axles (1.4 m to 4 m; 2.55 m)
---@field abs? boolean an anti-lock system works (`false`)
---@field pedal? emberlap.pedal|emberlap.pedal.changes pedal, booster, masters and distribution; without it both axles have the same line pressure, and effort and travel are not judged
---@field found? ("crack"|"soft pedal"|"boiled"|"leak"|"worn pad"|"sticking piston")[] what an inspection found: { "crack", "soft pedal" }; anything found fails the verdict (1 to 8 items; none)
---@field power? emberlap.power most power at the driven wheels; with gearing the lesser of both counts. Laps of a layout need one of them (1000 W to 1500000 W; none)
---@field gearing? emberlap.car.gearing.changes which wheels are driven, and by which torque; the rear ones by `power` alone when not given

---A car with its brakes.
---@class emberlap.car.keys : emberlap.car.changes
---@field mass emberlap.mass mass on the scales with the driver in, without fuel where fuel is given (200 kg to 4000 kg; required)
---@field tyre emberlap.car.tyre.keys the tyres
---@field fluid emberlap.fluid|emberlap.fluid.keys the brake fluid
---@field front emberlap.brake|emberlap.brake.keys the front brakes
---@field rear emberlap.brake|emberlap.brake.keys the rear brakes

---Keys of master to change.
---@class emberlap.pedal.master.changes
---@field bore? emberlap.length bore of a tandem master, which has both circuits in line (0.008 m to 0.06 m; none)
---@field front? emberlap.length bore of the front one of two masters side by side (0.008 m to 0.06 m; none)
---@field rear? emberlap.length bore of the rear one (0.008 m to 0.06 m; none)
---@field stroke? emberlap.length stroke of each circuit until it bottoms (0.01 m to 0.08 m; 0.036 m)
---@field free? emberlap.length stroke of each circuit until its port is shut (0 m to 0.01 m; 0.001 m)
---@field cost? emberlap.sum_of_money price of the masters (0 to 1000000; 0)
---@field labour? emberlap.time time to fit the masters (0 s to 360000 s; 0 s)

---Master cylinders.
---@class emberlap.pedal.master.keys : emberlap.pedal.master.changes

---Keys of booster to change.
---@class emberlap.pedal.booster.changes
---@field gain? emberlap.number force on the master over that of the pedal rod; 1: no booster (1 to 12; 1)
---@field assist? emberlap.force most that it adds at sea level, where it runs out; falls with the pressure of the air (0 N to 20000 N; 3500 N)

---A vacuum booster.
---@class emberlap.pedal.booster.keys : emberlap.pedal.booster.changes

---Keys of pedal to change.
---@class emberlap.pedal.changes
---@field ratio? emberlap.number travel of the pad over travel of the rod (1.5 to 10; required)
---@field effort_limit? emberlap.force most that the driver's leg gives lap after lap (100 N to 1500 N; 670 N)
---@field efficiency? emberlap.share share of the force that pedal, seals and masters pass on (0.5 to 1; 0.95)
---@field distribution? "fixed"|"bar"|"valve" what divides the pressure: nothing (fixed), a balance bar between two masters, or a valve in the rear line (`"fixed"`)
---@field balance? emberlap.share share of the rod's force on the front master, bar only; 0.5 when not given (0.2 to 0.8; worked out)
---@field per_turn? emberlap.share what one turn of the bar's adjuster moves of that share (0.001 to 0.1; 0.012)
---@field knee? emberlap.pressure line pressure from which the valve holds the rear back (100000 Pa to 20000000 Pa; none)
---@field slope? emberlap.share rise of rear over front pressure above the knee, valve only (0 to 1; 0.3)
---@field master? emberlap.pedal.master.changes the master cylinders
---@field booster? emberlap.pedal.booster.changes the booster; none when not given
---@field hose_swell? emberlap.volume what the hose to one wheel swells by under 100 bar (0 m3 to 5e-06 m3; 2e-07 m3)
---@field fluid_volume? emberlap.volume fluid in lines and calipers that is put under pressure (2e-05 m3 to 0.001 m3; 0.00015 m3)
---@field knock_back? emberlap.length how far kerbs or a loose hub push each pad back, once, before an application; 0.1 to 0.5 mm is seen (0 m to 0.003 m; 0 m)
---@field stab? emberlap.rate_of_force how fast the driver puts force on the pedal (100 N/s to 50000 N/s; 4000 N/s)

---From the foot to line pressure.
---@class emberlap.pedal.keys : emberlap.pedal.changes
---@field ratio emberlap.number travel of the pad over travel of the rod (1.5 to 10; required)
---@field master emberlap.pedal.master.keys the master cylinders

---Keys of cooling to change.
---@class emberlap.brake.cooling.changes
---@field faces? emberlap.film of the rubbed faces, over speed (m/s) and temperature (C) (function or value, 0 W/m2K to 5000 W/m2K; none)
---@field vanes? emberlap.film of the walls of the channels (function or value, 0 W/m2K to 5000 W/m2K; none)
---@field caliper? emberlap.film of the caliper's body and the pads' edges (function or value, 0 W/m2K to 5000 W/m2K; none)

---Film laws of one's own.
---@class emberlap.brake.cooling.keys : emberlap.brake.cooling.changes

---A heat capacity of one's own.
---@class emberlap.brake.nodes.keys
---@field [1] string its name (text; required)
---@field capacity emberlap.heat_capacity its heat capacity (1 J/K to 1000000 J/K; required)

---A link of one's own.
---@class emberlap.brake.links.keys
---@field from string the node that heat flows from when it is hotter (text; required)
---@field to string the other node, or "ambient" (text; required)
---@field conductance emberlap.conductance how well heat flows (0.0001 W/K to 10000 W/K; required)

---Keys of brake to change.
---@class emberlap.brake.changes
---@field rotor? emberlap.rotor|emberlap.rotor.changes the rotor
---@field pad? emberlap.pad|emberlap.pad.changes the pads
---@field caliper? emberlap.caliper|emberlap.caliper.changes the caliper
---@field airflow? emberlap.share speed of the air at this brake over that behind an ordinary wheel; less behind a closed wheel or a splash shield (0.05 to 1.5; 1)
---@field effective_radius? emberlap.length radius the friction force acts at; rotor radius less half the pad height when not given (0.05 m to 0.25 m; worked out)
---@field cooling? emberlap.brake.cooling.changes film laws of one's own, in place of those of docs/model.md
---@field nodes? emberlap.brake.nodes.keys[] heat capacities of one's own: { { "shield", capacity = "200 J/K" } } (1 to 8 items; none)
---@field links? emberlap.brake.links.keys[] links of one's own: { { from = "pad.plate", to = "shield", conductance = "2 W/K" } }; an end is a node of the corner, one of nodes, or "ambient" (1 to 16 items; none)
---@field duct? emberlap.duct|emberlap.duct.changes the cooling duct; none when not given
---@field still_air? emberlap.share natural convection over that of a free surface: what the wheel arch leaves (0.1 to 1; 0.7)

---The brake of one wheel; both wheels of an axle have the same.
---@class emberlap.brake.keys : emberlap.brake.changes
---@field rotor emberlap.rotor|emberlap.rotor.keys the rotor
---@field pad emberlap.pad|emberlap.pad.keys the pads
---@field caliper emberlap.caliper|emberlap.caliper.keys the caliper

---Keys of rotor to change.
---@class emberlap.rotor.changes
---@field diameter? emberlap.length outside diameter of the ring (0.15 m to 0.5 m; required)
---@field thickness? emberlap.length thickness of the ring over both faces (0.004 m to 0.06 m; required)
---@field ring_mass? emberlap.mass mass of the iron ring without its hat; mass less hat_mass when not given, and from its size when that is not known either (0.5 kg to 25 kg; worked out)
---@field mass? emberlap.mass mass of the whole rotor on the scales, where the ring is not weighed by itself (0.8 kg to 30 kg; none)
---@field hat_mass? emberlap.mass mass of the hat with its hardware (0.2 kg to 8 kg; 1.5 kg)
---@field ring_height? emberlap.length radial depth of the ring; 0.155 of the diameter when not given (0.015 m to 0.15 m; worked out)
---@field construction? "one-piece"|"two-piece" hat cast with the ring, or a separate hat of aluminium on bobbins (`"one-piece"`)
---@field hat? "plain"|"inverted" plain: vane inlets open inboard, where a duct reaches them; inverted: outboard, behind the wheel (`"plain"`)
---@field vanes? integer number of vanes, 0 for a solid ring; 0 below 16 mm of thickness and 40 from there on when not given (0 to 120; worked out)
---@field vane? "straight"|"curved"|"pillars" straight or curved vanes, or pillars (`"straight"`)
---@field pumping? emberlap.share air speed in the vanes over the ideal; 0.5 for straight and 0.65 for curved vanes, 0.45 for pillars, 0.7 of that with an inverted hat when not given (0.05 to 1; worked out)
---@field conductivity? emberlap.conductivity conductivity of the ring's iron (15 W/mK to 80 W/mK; 46 W/mK)
---@field emissivity? emberlap.share emissivity of vanes, hat and edge (0.05 to 0.98; 0.8)
---@field face_emissivity? emberlap.share emissivity of the faces the pads rub (0.05 to 0.98; 0.4)
---@field minimum? emberlap.length least thickness its maker allows; no check of its wear when not given (0.003 m to 0.06 m; none)
---@field wear? emberlap.wear iron worn off both faces per friction energy (0 m3/J to 1e-12 m3/J; 1e-14 m3/J)
---@field cost? emberlap.sum_of_money price of one rotor, or of its ring where only that is changed (0 to 1000000; 0)
---@field labour? emberlap.time time to fit the rotors of an axle (0 s to 360000 s; 0 s)

---A brake rotor.
---@class emberlap.rotor.keys : emberlap.rotor.changes
---@field diameter emberlap.length outside diameter of the ring (0.15 m to 0.5 m; required)
---@field thickness emberlap.length thickness of the ring over both faces (0.004 m to 0.06 m; required)

---Keys of pad to change.
---@class emberlap.pad.changes
---@field area? emberlap.area rubbing area of one pad (0.0005 m2 to 0.03 m2; required)
---@field height? emberlap.length radial height of the friction material (0.015 m to 0.12 m; required)
---@field thickness? emberlap.length thickness of the friction material when new (0.003 m to 0.04 m; required)
---@field thickness_now? emberlap.length thickness of the friction material at present; new when not given (0.0005 m to 0.04 m; worked out)
---@field friction? emberlap.curve coefficient of friction over face temperature: { { 20, 0.38 }, { 300, 0.48 } } (1 to 64 pairs, value 0.02 to 1.2; required)
---@field window? emberlap.temperature[] face temperatures the pad works between: { "150 C", "700 C" } (2 values, each -40 C to 1200 C; required)
---@field conductivity? emberlap.conductivity conductivity of the friction material (0.2 W/mK to 40 W/mK; 3 W/mK)
---@field density? emberlap.density density of the friction material (1000 kg/m3 to 8000 kg/m3; 2700 kg/m3)
---@field specific_heat? emberlap.specific_heat specific heat of the friction material (300 J/kgK to 2500 J/kgK; 900 J/kgK)
---@field plate_thickness? emberlap.length thickness of the steel backing plate (0.001 m to 0.012 m; 0.005 m)
---@field contact? emberlap.heat_transfer_coefficient conductance of the contact layer per MPa of contact pressure (500 W/m2K to 200000 W/m2K; 8000 W/m2K)
---@field worn_at? emberlap.length thickness of friction material at which the pad is changed; that of its plate when not given (0 m to 0.03 m; worked out)
---@field wear? emberlap.wear friction material worn off per friction energy, below wear_onset (0 m3/J to 1e-11 m3/J; 2e-13 m3/J)
---@field wear_onset? emberlap.temperature face temperature from which wear grows by an Arrhenius factor; 150 K below the upper end of the window when not given (50 C to 1100 C; worked out)
---@field wear_activation? emberlap.molar_energy activation energy of wear above its onset; 60 kJ/mol doubles wear for every 100 K near 750 C (0 J/mol to 300000 J/mol; 60000 J/mol)
---@field wear_effect? emberlap.curve factor on wear over face temperature, in place of onset and activation (1 to 64 pairs, value 0.01 to 10000; none)
---@field squeeze? emberlap.length how much one pad gives under 100 bar of line pressure (0 m to 0.001 m; 0.0001 m)
---@field speed_effect? emberlap.curve factor on friction over the speed of the car (1 to 64 pairs, value 0.2 to 2; none)
---@field pressure_effect? emberlap.curve factor on friction over line pressure (1 to 64 pairs, value 0.2 to 2; none)
---@field condition? "bedded"|"green"|"glazed" bedded; green (not bedded yet): friction times 0.75; glazed: times 0.65 (`"bedded"`)
---@field cost? emberlap.sum_of_money price of a set of pads for one axle (0 to 1000000; 0)
---@field labour? emberlap.time time to change the pads of an axle (0 s to 360000 s; 0 s)

---A brake pad.
---@class emberlap.pad.keys : emberlap.pad.changes
---@field area emberlap.area rubbing area of one pad (0.0005 m2 to 0.03 m2; required)
---@field height emberlap.length radial height of the friction material (0.015 m to 0.12 m; required)
---@field thickness emberlap.length thickness of the friction material when new (0.003 m to 0.04 m; required)
---@field friction emberlap.curve coefficient of friction over face temperature: { { 20, 0.38 }, { 300, 0.48 } } (1 to 64 pairs, value 0.02 to 1.2; required)
---@field window emberlap.temperature[] face temperatures the pad works between: { "150 C", "700 C" } (2 values, each -40 C to 1200 C; required)

---Keys of caliper to change.
---@class emberlap.caliper.changes
---@field type? "fixed"|"sliding" pistons on both sides, or on one side of a sliding body (required)
---@field pistons? emberlap.length[] piston diameters of ONE side: { "38 mm", "34 mm" } (1 to 8 values, each 0.015 m to 0.08 m; required)
---@field mass? emberlap.mass mass of one caliper without pads (0.5 kg to 12 kg; required)
---@field body? "aluminium"|"iron" what the body is made of (`"aluminium"`)
---@field piston? "steel"|"aluminium"|"titanium" what the pistons are made of (`"steel"`)
---@field rating? emberlap.pressure highest line pressure its maker allows; limits.pressure when not given (1000000 Pa to 40000000 Pa; none)
---@field opening? emberlap.length how far the body opens under 100 bar of line pressure (0 m to 0.003 m; 0.0002 m)
---@field rollback? emberlap.length how far its seals draw each pad back (0 m to 0.002 m; 0.0001 m)
---@field cost? emberlap.sum_of_money price of one caliper (0 to 1000000; 0)
---@field labour? emberlap.time time to fit the calipers of an axle (0 s to 360000 s; 0 s)

---A brake caliper.
---@class emberlap.caliper.keys : emberlap.caliper.changes
---@field type "fixed"|"sliding" pistons on both sides, or on one side of a sliding body (required)
---@field pistons emberlap.length[] piston diameters of ONE side: { "38 mm", "34 mm" } (1 to 8 values, each 0.015 m to 0.08 m; required)
---@field mass emberlap.mass mass of one caliper without pads (0.5 kg to 12 kg; required)

---Keys of duct to change.
---@class emberlap.duct.changes
---@field bore? emberlap.length inside diameter of the hose (0.02 m to 0.2 m; required)
---@field length? emberlap.length length of the hose (0.05 m to 6 m; required)
---@field bends? integer bends of 90 degrees (0 to 12; 2)
---@field inlet? "flush"|"submerged"|"nose" flush opening, submerged inlet, or an opening in the nose (`"submerged"`)
---@field recovery? emberlap.share dynamic pressure that the inlet recovers; 0.45 flush, 0.8 submerged, 0.95 nose when not given (0 to 1; worked out)
---@field hose? "smooth"|"corrugated"|"compressed" smooth, corrugated, or corrugated and compressed (`"corrugated"`)
---@field material? "silicone"|"neoprene" what the hose is made of: sets what it bears (`"silicone"`)
---@field bears? emberlap.temperature highest temperature of the hose; 315 C silicone, 130 C neoprene when not given (60 C to 600 C; worked out)
---@field hoses? integer hoses to each wheel (1 to 4; 1)
---@field split? integer hoses that one inlet feeds (1 to 4; 1)
---@field taped? emberlap.share share of the inlet taped shut (0 to 1; 0)
---@field back_pressure? emberlap.share pressure where the hose ends, over the dynamic pressure of the car's speed (0 to 0.9; 0.15)
---@field aim? "eye"|"open eye"|"face"|"caliper" eye of the rotor through a sealed plate, the open eye, one face, or the caliper (`"open eye"`)
---@field mass? emberlap.mass mass of the duct to one wheel (0 kg to 10 kg; 0 kg)
---@field cost? emberlap.sum_of_money price of the ducts of an axle (0 to 1000000; 0)
---@field labour? emberlap.time time to fit the ducts of an axle (0 s to 360000 s; 0 s)

---A cooling duct to one wheel.
---@class emberlap.duct.keys : emberlap.duct.changes
---@field bore emberlap.length inside diameter of the hose (0.02 m to 0.2 m; required)
---@field length emberlap.length length of the hose (0.05 m to 6 m; required)

---Keys of fluid to change.
---@class emberlap.fluid.changes
---@field grade? "DOT 3"|"DOT 4"|"DOT 5"|"DOT 5.1"|"class 3"|"class 4"|"class 5-1"|"class 6"|"class 7" class of FMVSS 116 or ISO 4925: gives its least boiling points where dry and wet are not given; DOT 5 (silicone) keeps water apart (none)
---@field dry? emberlap.temperature boiling point of fresh fluid; the least its grade allows when not given (150 C to 400 C; worked out)
---@field wet? emberlap.temperature boiling point in the wet test (3.7 % water); the least its grade allows when not given (110 C to 350 C; worked out)
---@field water? emberlap.share water in it at present, by mass; age times uptake when not given (0 to 0.08; worked out)
---@field age? emberlap.time time since its bottle was opened (0 s to 630720000 s; 31104000 s)
---@field uptake? emberlap.share water taken up in 30 days, by mass; no prediction: 0.0008 to 0.002 is usual (0 to 0.01; 0.00125)
---@field boiling? emberlap.curve boiling point (C) over water by mass, in place of the law through dry and wet (2 to 64 pairs, value 60 to 400; none)
---@field bulk_modulus? emberlap.pressure resistance to compression, hot and free of air (100000000 Pa to 5000000000 Pa; 1200000000 Pa)
---@field cost? emberlap.sum_of_money price of a litre (0 to 1000000; 0)
---@field labour? emberlap.time time to bleed the car (0 s to 360000 s; 0 s)

---A brake fluid.
---@class emberlap.fluid.keys : emberlap.fluid.changes

---Keys of driver to change.
---@class emberlap.trace.driver.changes
---@field corner? emberlap.share share of the sideways grip that is used; 95 % when not given (0.3 to 1; none)
---@field brake? emberlap.share share of the deceleration that tyres or brakes would give; 90 % when not given (0.3 to 1; none)
---@field power? emberlap.share share of the acceleration that is used; all of it when not given (0.1 to 1; none)
---@field early? emberlap.length distance by which braking begins before the last place for it; none when not given (0 m to 200 m; none)

---What the driver of a layout uses of the car.
---@class emberlap.trace.driver.keys : emberlap.trace.driver.changes

---Keys of trace to change.
---@class emberlap.trace.changes
---@field file? string the logger's file, CSV or GPX, or a layout, YAML, beside the script or below the root (text; required)
---@field time? string name of the time column; guessed when not given (text; none)
---@field speed? string name of the speed column; guessed when not given (text; none)
---@field lap? string name of the lap number column; guessed when not given (text; none)
---@field distance? string name of the distance column; guessed when not given; gives the speed where there is no other (text; none)
---@field altitude? string name of the altitude column; guessed when not given; gives the grade (text; none)
---@field pressure_front? string name of the column of front line pressure; guessed when not given; says when the brakes are on and how hard, where it explains the braking (text; none)
---@field pressure_rear? string name of the column of rear line pressure; guessed when not given (text; none)
---@field latitude? string name of the latitude column; guessed when not given; with longitude gives the speed where there is no other, and laps for start_line (text; none)
---@field longitude? string name of the longitude column; guessed when not given (text; none)
---@field lateral? string name of the column of lateral acceleration; guessed when not given; tells how the course turns where neither positions nor yaw rate do (text; none)
---@field yaw_rate? string name of the column of yaw rate; guessed when not given; tells how the course turns where there are no positions (text; none)
---@field time_unit? string unit of time, whatever the file says (text; none)
---@field speed_unit? string unit of speed, whatever the file says (text; none)
---@field distance_unit? string unit of distance, whatever the file says (text; none)
---@field altitude_unit? string unit of altitude, whatever the file says (text; none)
---@field pressure_front_unit? string unit of front line pressure, whatever the file says (text; none)
---@field pressure_rear_unit? string unit of rear line pressure, whatever the file says (text; none)
---@field latitude_unit? string unit of latitude, deg or min (of arc), whatever the file says (text; none)
---@field longitude_unit? string unit of longitude, deg or min (of arc), whatever the file says (text; none)
---@field lateral_unit? string unit of lateral acceleration, g or m/s2, whatever the file says (text; none)
---@field yaw_rate_unit? string unit of yaw rate, deg/s or rad/s, whatever the file says (text; none)
---@field start_line? emberlap.count[] where laps begin: latitude and longitude in degrees, north and east positive: { 12.5012, -34.2488 } (2 values, each -180 to 180; none)
---@field hot_lap? integer number of the logged lap that is repeated; 0 for the hot lap of median time (0 to 100000; 0)
---@field of? emberlap.car|emberlap.car.changes the car that made the log: decides where its brakes were on; the car of the run when not given
---@field driver? emberlap.trace.driver.changes of a layout: what the driver uses of the car; a log has its own driver in it

---A course as one logged drive of it.
---@class emberlap.trace.keys : emberlap.trace.changes
---@field file string the logger's file, CSV or GPX, or a layout, YAML, beside the script or below the root (text; required)

---Keys of pace to change.
---@class emberlap.stint.pace.changes
---@field out? emberlap.share out-laps (0.2 to 1.2; 0.7)
---@field hot? emberlap.share hot laps (0.2 to 1.2; 1)
---@field traffic? emberlap.share laps in traffic (0.2 to 1.2; 0.78)
---@field cool? emberlap.share cool-down and in-laps (0.2 to 1.2; 0.6)

---Speed over that of the lap repeated; time stretches by its inverse, deceleration goes with its square.
---@class emberlap.stint.pace.keys : emberlap.stint.pace.changes

---Keys of stint to change.
---@class emberlap.stint.changes
---@field [integer] emberlap.phase.keys the phases in order: { "out" }, { "hot", laps = 5 }, { "park", time = "10 min" } (1 to 64 items; none)
---@field out? integer out-laps (0 to 20; 0)
---@field hot? integer hot laps (0 to 1000; 0)
---@field cool? integer cool-down laps (0 to 20; 0)
---@field park? emberlap.time time parked at the end (0 s to 86400 s; 0 s)
---@field logged? boolean drive the logged session as it is, in place of out, hot and cool (`false`)
---@field ambient? emberlap.temperature air temperature (-30 C to 60 C; 25 C)
---@field altitude? emberlap.length height above the sea: thins the air and lowers boiling points (-500 m to 5000 m; 0 m)
---@field start? emberlap.temperature temperature of every part at the start; ambient when not given (-30 C to 300 C; worked out)
---@field judge? "lesser"|"present" which boiling point judges: the lesser of wet and present, or the present one (`"lesser"`)
---@field pit_speed? emberlap.speed speed from which the car stops before it parks (0 m/s to 40 m/s; 16.6667 m/s)
---@field pace? emberlap.stint.pace.changes pace of each kind of lap

---What is driven, in which air.
---@class emberlap.stint.keys : emberlap.stint.changes

---A phase of a stint.
---@class emberlap.phase.keys
---@field [1] "out"|"hot"|"traffic"|"cool"|"in"|"park"|"logged" what is driven (required)
---@field laps? integer how many laps of it (1 to 500; 1)
---@field time? emberlap.time how long, for park (1 s to 86400 s; none)
---@field pace? emberlap.share speed over that of the lap repeated; that of its kind when not given (0.2 to 1.2; worked out)

---What the checks compare with.
---@class emberlap.limits.keys
---@field rotor? emberlap.temperature highest core temperature of a rotor (100 C to 1000 C; 700 C)
---@field caliper? emberlap.temperature highest temperature of a caliper's body: seals and boots (80 C to 350 C; 200 C)
---@field gradient? emberlap.temperature_difference widest a rubbed face may stand above its rotor's core: it is the gradient that cracks (20 K to 800 K; 330 K)
---@field gradient_band? emberlap.temperature_difference margin below which the gradient is marginal (0 K to 300 K; 75 K)
---@field rotor_band? emberlap.temperature_difference margin below which a rotor is marginal (0 K to 300 K; 75 K)
---@field pad_band? emberlap.temperature_difference margin below which a pad is marginal (0 K to 300 K; 50 K)
---@field cold_band? emberlap.temperature_difference margin above the lower end of its window below which a pad is cold (0 K to 300 K; 30 K)
---@field hose_band? emberlap.temperature_difference margin below which a hose is marginal (0 K to 300 K; 50 K)
---@field caliper_band? emberlap.temperature_difference margin below which a caliper is marginal (0 K to 300 K; 25 K)
---@field panic? emberlap.force what a frightened leg gives, which hoses, calipers and masters must bear (300 N to 3000 N; 1330 N)
---@field pressure? emberlap.pressure highest line pressure of hoses, masters and calipers without a rating of their own (2000000 Pa to 40000000 Pa; 20000000 Pa)
---@field pressure_band? emberlap.pressure margin below which the panic pressure is marginal (0 Pa to 10000000 Pa; 1500000 Pa)
---@field effort_band? emberlap.force margin to pedal.effort_limit below which the effort is marginal (0 N to 500 N; 80 N)
---@field travel_band? emberlap.share share of a master's stroke left at the hardest stop below which travel is marginal (0 to 0.9; 0.3)
---@field balance_band? emberlap.share front share above the ideal one below which the balance is marginal (0 to 0.2; 0.02)
---@field grip_band? emberlap.acceleration deceleration left to the first lock below which the grip is marginal (0 m/s2 to 5 m/s2; 0.3 m/s2)
---@field bite? emberlap.share least share of the steady deceleration that a stab of the pedal reaches before a wheel locks (0.1 to 1; 0.7)
---@field bite_band? emberlap.share margin below which the bite is marginal (0 to 0.5; 0.05)
---@field pad_left_band? emberlap.length friction material left above worn_at after the event below which it is marginal (0 m to 0.01 m; 0.001 m)
---@field rotor_left_band? emberlap.length iron left above the minimum after the event below which it is marginal (0 m to 0.005 m; 0.0002 m)
---@field fluid_band? emberlap.temperature_difference margin below which a fluid is marginal (0 K to 300 K; 30 K)

---How often the stint is driven, and what work costs.
---@class emberlap.event.keys
---@field sessions? integer how often the stint is driven (1 to 200; 1)
---@field bleeds? integer how often the car is bled for the event (0 to 50; 1)
---@field bleed_volume? emberlap.volume fluid used in a bleed (5e-05 m3 to 0.005 m3; 0.0005 m3)
---@field labour_rate? emberlap.sum_of_money price of an hour of labour (0 to 10000; 0)

---One car, one course, one stint.
---@class emberlap.run.keys
---@field car emberlap.car|emberlap.car.keys the car
---@field course emberlap.trace|emberlap.trace.keys the course, made by el.trace
---@field stint emberlap.stint|emberlap.stint.keys the stint
---@field limits? emberlap.limits.keys limits and marginal bands of the checks
---@field event? emberlap.event.keys sessions of the event, and labour
---@field mode? "default"|"fine"|"screening"|"reference" how finely time is cut: default; fine; screening, in single precision, for long sweeps; reference, a fixed grid for comparison (`"default"`)
---@field base? emberlap.car|emberlap.car.keys the car before the change: it is run too, and compared by name

---Options of fluid:boils_at.
---@class emberlap.boils_at.keys
---@field water? emberlap.share water in the fluid, by mass (0 to 0.08; worked out)
---@field pressure? emberlap.pressure line pressure (0 Pa to 40000000 Pa; 0 Pa)
---@field altitude? emberlap.length height above the sea (-500 m to 5000 m; 0 m)

---Options of rotor:cooling.
---@class emberlap.cooling.keys
---@field speed? emberlap.speed speed of the car (0 m/s to 120 m/s; 0 m/s)
---@field temperature? emberlap.temperature temperature of the rotor throughout (-40 C to 1200 C; 400 C)
---@field duct? emberlap.duct|emberlap.duct.keys a duct made by el.duct
---@field ambient? emberlap.temperature temperature of the air (-30 C to 60 C; 25 C)
---@field altitude? emberlap.length height above the sea (-500 m to 5000 m; 0 m)
---@field airflow? emberlap.share speed of the air at the brake over that behind an ordinary wheel (0.05 to 1.5; worked out)
---@field tyre_radius? emberlap.length rolling radius of the tyre (0.2 m to 0.5 m; 0.31 m)

---Options of duct:flow.
---@class emberlap.flow.keys
---@field speed? emberlap.speed speed of the car (0 m/s to 120 m/s; 0 m/s)
---@field ambient? emberlap.temperature temperature of the air (-30 C to 60 C; 25 C)
---@field altitude? emberlap.length height above the sea (-500 m to 5000 m; 0 m)

---Options of pad:friction_at.
---@class emberlap.friction_at.keys
---@field temperature? emberlap.temperature temperature of the face (-40 C to 1200 C; 300 C)
---@field speed? emberlap.speed speed of the car (0 m/s to 120 m/s; 30 m/s)
---@field pressure? emberlap.pressure line pressure (0 Pa to 40000000 Pa; 4000000 Pa)

---Options of pad:wear.
---@class emberlap.wear.keys
---@field energy emberlap.number friction energy of one wheel, a number in J: 2 MJ is 2e6 (0 to 1000000000000; required)
---@field temperature? emberlap.temperature temperature of the face (-40 C to 1200 C; 300 C)

---Options of car:stop.
---@class emberlap.stop.keys
---@field from emberlap.speed speed it starts from, such as "180 km/h" (0 m/s to 120 m/s; required)
---@field to? emberlap.speed speed it ends at (0 m/s to 120 m/s; 0 m/s)
---@field deceleration? emberlap.acceleration how hard; as hard as no wheel locks when tyre.grip is known (0.1 m/s2 to 60 m/s2; worked out)
---@field temperature? emberlap.temperature temperature of the pads (-40 C to 1200 C; 300 C)
---@field fuel? emberlap.mass fuel in the tank (0 kg to 200 kg; worked out)
---@field ambient? emberlap.temperature temperature of the air (-30 C to 60 C; 15 C)
---@field altitude? emberlap.length height above the sea (-500 m to 5000 m; 0 m)

---Options of car:balance.
---@class emberlap.balance.keys
---@field deceleration? emberlap.acceleration how hard (0.1 m/s2 to 60 m/s2; 9.80665 m/s2)
---@field speed? emberlap.speed speed of the car (0 m/s to 120 m/s; 30 m/s)
---@field temperature? emberlap.temperature temperature of the pads (-40 C to 1200 C; 300 C)
---@field fuel? emberlap.mass fuel in the tank (0 kg to 200 kg; worked out)
---@field ambient? emberlap.temperature temperature of the air (-30 C to 60 C; 15 C)
---@field altitude? emberlap.length height above the sea (-500 m to 5000 m; 0 m)

---Options of course:layout.
---@class emberlap.layout.keys
---@field lap? integer number of the logged lap it is taken from; 0 for the hot lap of median time (0 to 100000; 0)

---A heat capacity.
---@class emberlap.node.keys
---@field capacity emberlap.heat_capacity heat capacity (1e-06 J/K to 1000000000000 J/K; required)
---@field start? emberlap.temperature temperature at the start; ambient when not given (-272.15 C to 4726.85 C; worked out)

---A way for heat.
---@class emberlap.link.keys
---@field from string a node, or ambient (text; required)
---@field to string a node, or ambient (text; required)
---@field conductance emberlap.conductance heat flow per difference in temperature (1e-09 W/K to 1000000000 W/K; required)

---One car, one layout, one lap: a flying one where the course is closed.
---@class emberlap.lap.keys
---@field car emberlap.car|emberlap.car.keys the car, made by el.car, with tyre.grip and power
---@field course emberlap.trace|emberlap.trace.keys the layout, made by el.track
---@field temperature? emberlap.temperature temperature of the pads all the way round (-40 C to 1200 C; 300 C)
---@field ambient? emberlap.temperature temperature of the air (-30 C to 60 C; 25 C)
---@field altitude? emberlap.length height above the sea (-500 m to 5000 m; 0 m)
---@field fuel? emberlap.mass fuel in the tank; that of the car's start when not given (0 kg to 200 kg; worked out)

---A network.
---@class emberlap.network.keys
---@field ambient? emberlap.temperature air temperature (-272.15 C to 4726.85 C; 25 C)

---Options of run:save.
---@class emberlap.save.keys
---@field every? emberlap.time time between rows (0.05 s to 60 s; 0.1 s)

---Options of net:simulate.
---@class emberlap.simulate.keys
---@field duration emberlap.time how long (1e-06 s to 100000000 s; required)
---@field every? emberlap.time time between rows of the history (1e-06 s to 100000000 s; 1 s)
---@field step? emberlap.time longest time step (1e-06 s to 3600 s; 0.025 s)

---@class emberlap.network.keys
---@field nodes table<string, emberlap.node.keys> heat capacities by name
---@field links? emberlap.link.keys[] ways for heat between nodes, or to "ambient"
---@field heat? table<string, number|string|number[][]|fun(t: number): number> into nodes by name: W, points { t, W }, or a function of time in s

---What el.sweep runs.
---@class emberlap.sweep.keys
---@field over? table<string, any[]|table<string, any>> the options of each axis by its name
---@field rows? table[] rows one by one, in place of over
---@field sample? integer how many of all combinations are run
---@field seed? integer which ones (1)
---@field case fun(x: table<string, any>): emberlap.run.keys what one row runs
---@field measures? emberlap.measure[] what is kept of a row
---@field journal? string file that rows are written to as they finish

---A row of a sweep: its options by axis, and its measures by name.
---@class emberlap.row
---@field row integer its number
---@field verdict? "holds"|"marginal"|"fails" nil when it could not be run
---@field limit? string the tightest check: "front fluid"
---@field closest? number its margin over its band
---@field reason? string why it could not be run
---@field [string] any

---The rows of a sweep.
---@class emberlap.grid
---@field [integer] emberlap.row

---A car with its brakes.
---@class emberlap.car
---@field with fun(self: emberlap.car, changes: emberlap.car.changes): emberlap.car A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`
---@field stop fun(self: emberlap.car, options: emberlap.stop.keys): emberlap.stop A stop on level ground: kinetic_energy, brake_energy (J), distance, time, the highest pressure.front and .rear, effort (N), travel (m at the pad), and first_to_lock, the axle that locks first where tyre.grip is given. Unless given: to a standstill, pads at 300 C, a full tank, 15 C at the sea, and as hard as no wheel locks. `car:stop { from =, to =, deceleration =, temperature =, fuel =, ambient =, altitude = }`
---@field balance fun(self: emberlap.car, options?: emberlap.balance.keys): emberlap.balance Front share of the braking force, and the ideal one; turns of the bar that put it 3 points ahead; where tyre.grip is given first_to_lock, lock_deceleration, grip (m/s2) and bite. At 1 g, 30 m/s, 300 C, with a full tank, in air of 15 C at the sea unless given. `car:balance { deceleration =, speed =, temperature =, fuel =, ambient =, altitude = }`

---Pedal, booster, masters and distribution.
---@class emberlap.pedal
---@field with fun(self: emberlap.pedal, changes: emberlap.pedal.changes): emberlap.pedal A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`

---The brake of one wheel; both wheels of an axle have the same.
---@class emberlap.brake
---@field with fun(self: emberlap.brake, changes: emberlap.brake.changes): emberlap.brake A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`

---A brake rotor.
---@class emberlap.rotor
---@field with fun(self: emberlap.rotor, changes: emberlap.rotor.changes): emberlap.rotor A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`
---@field cooling fun(self: emberlap.rotor, options?: emberlap.cooling.keys): emberlap.cooling How it cools at one temperature: convection, radiation, faces, vanes in W/m2K, and watts. `rotor:cooling { speed =, temperature =, duct =, ambient =, altitude =, airflow =, tyre_radius = }`
---@field mass fun(self: emberlap.rotor): number Ring and hat, kg. `rotor:mass()`

---A brake pad.
---@class emberlap.pad
---@field with fun(self: emberlap.pad, changes: emberlap.pad.changes): emberlap.pad A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`
---@field friction_at fun(self: emberlap.pad, options?: emberlap.friction_at.keys): number Coefficient of friction; at 300 C, 30 m/s and 40 bar unless given. `pad:friction_at { temperature =, speed =, pressure = }`
---@field wear fun(self: emberlap.pad, options: emberlap.wear.keys): number What the friction energy of one wheel (J) takes off each of its two pads, m; at 300 C unless given. `pad:wear { energy =, temperature = }`

---A brake caliper.
---@class emberlap.caliper
---@field with fun(self: emberlap.caliper, changes: emberlap.caliper.changes): emberlap.caliper A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`

---A cooling duct to one wheel.
---@class emberlap.duct
---@field with fun(self: emberlap.duct, changes: emberlap.duct.changes): emberlap.duct A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`
---@field flow fun(self: emberlap.duct, options?: emberlap.flow.keys): number Air that reaches one wheel, kg/s. `duct:flow { speed =, ambient =, altitude = }`

---A brake fluid.
---@class emberlap.fluid
---@field with fun(self: emberlap.fluid, changes: emberlap.fluid.changes): emberlap.fluid A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`
---@field boils_at fun(self: emberlap.fluid, options?: emberlap.boils_at.keys): number Boiling point in C; its own water, no line pressure, at the sea unless given. `fluid:boils_at { water =, pressure =, altitude = }`

---A course as one logged drive of it; the log is read at once.
---@class emberlap.trace
---@field with fun(self: emberlap.trace, changes: emberlap.trace.changes): emberlap.trace A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`
---@field layout fun(self: emberlap.trace, options?: emberlap.layout.keys): emberlap.trace The layout of a logged lap, from its positions, yaw rate or lateral acceleration: a course that any car can drive. `course:layout { lap = }`
---@field driven_by fun(self: emberlap.trace, car: emberlap.car): emberlap.trace The repeated lap of a log, scaled from the car in `of` to another: each place with the same share of what the car can do. For changes of a few tenths; a layout is better for more. `course:driven_by(car)`
---@field save fun(self: emberlap.trace, name: string) Writes a layout as YAML below --out. `course:save "course.yaml"`

---What is driven, in which air.
---@class emberlap.stint
---@field with fun(self: emberlap.stint, changes: emberlap.stint.changes): emberlap.stint A changed copy of a definition: tables merge key by key, lists and definitions replace. `d:with { key = value, ... }`

---A run and its verdict; print(run) shows all of it. `el.run { ... }`
---@class emberlap.run
---@field verdict "holds"|"marginal"|"fails" the worst of the checks
---@field front emberlap.axle front brakes
---@field rear emberlap.axle rear brakes
---@field laps emberlap.lap[] lap by lap
---@field checks emberlap.check[] limits, the tightest first
---@field more emberlap.more how many hot laps hold
---@field pedal emberlap.pedal_result pressure, effort, travel
---@field balance emberlap.balance_result shares, grip, locking
---@field mass emberlap.mass_result what the brakes weigh
---@field cost emberlap.cost_result what parts and event cost
---@field energy number braking energy of the whole car (J)
---@field residual number share of the heat that is unaccounted for (0..1)
---@field plan emberlap.plan laps and gaps of the day
---@field base? emberlap.run the run before the change
---@field against? emberlap.against what the change did to the pedal

---The worse brake of an axle; so far both are one. `run.front, run.rear`
---@class emberlap.axle : emberlap.corner
---@field left emberlap.corner the left wheel
---@field right emberlap.corner the right wheel

---The brake of one wheel. `run.front.left, run.front.right`
---@class emberlap.corner
---@field rotor emberlap.rotor_result the rotor
---@field pad emberlap.pad_result the pads
---@field caliper emberlap.peak the body of the caliper
---@field fluid emberlap.fluid_result the fluid in it
---@field nodes table<string, emberlap.peak> nodes of your own, by name
---@field duct_flow number air to one wheel at top speed; 0 without a duct (kg/s)

---A rotor of an axle. `run.front.rotor`
---@class emberlap.rotor_result
---@field face emberlap.peak the rubbed faces
---@field core emberlap.peak the iron between them, which is judged
---@field hat emberlap.peak the hat
---@field cycles number stops of the stint that strain the skin until it flows
---@field crack number ranks rotors and duties by cracking; no life
---@field stress number of the skin at the widest gradient (Pa)
---@field left_event number thickness after the event (m)
---@field sessions number until the minimum; infinite where none is given

---How hot something got. `run.front.rotor.face, .core, .hat, run.front.caliper, run.front.nodes.NAME`
---@class emberlap.peak
---@field peak number highest temperature of the stint (C)
---@field peak_at number when, since the start of the stint (s)
---@field track_peak? number highest on track, the stop in the pits included (C)
---@field parked_peak? number highest while parked (C)

---The face of a pad, and its life. `run.front.pad`
---@class emberlap.pad_result : emberlap.peak
---@field left number friction material after the stint (m)
---@field left_event number after the event; negative when a set does not last (m)
---@field sessions number from now until it is worn; infinite without wear
---@field sets integer sets used up or begun by the event

---The hottest fluid of a caliper, and what is left to boiling. `run.front.fluid`
---@class emberlap.fluid_result : emberlap.peak
---@field margin_wet number left to the wet boiling point (K)
---@field margin_now number left to the boiling point with its present water (K)
---@field margin number left to the one that judges (K)
---@field wet_passed_on_lap? integer lap that passes the wet boiling point
---@field boils_on_lap? integer lap that passes the present boiling point
---@field wet_passed_parked? number parked until the wet point is passed (s)
---@field boils_parked? number parked until the present point is passed (s)
---@field vapour number boiled off in one caliper (m3)

---One lap that was driven. `run.laps[i]`
---@class emberlap.lap
---@field kind "out"|"hot"|"traffic"|"cool"|"in"|"logged" phase of the stint
---@field number integer counted from 1
---@field start number since the start of the stint (s)
---@field time number lap time (s)
---@field energy number braking energy of the car (J)
---@field braking_time number with the brakes on (s)
---@field top_speed number highest speed (m/s)
---@field lost_to_brakes number that brakes which gave less than the tyres hold cost; 0 by a log (s)
---@field front emberlap.lap_axle front axle
---@field rear emberlap.lap_axle rear axle

---How hot an axle got in a lap. `run.laps[i].front, .rear`
---@class emberlap.lap_axle
---@field face number highest of the lap: rubbed faces (C)
---@field core number rotor core (C)
---@field hat number hat (C)
---@field pad number pad face (C)
---@field caliper number caliper body (C)
---@field fluid number fluid (C)

---One limit; the tightest by margin over band first. `run.checks[i]`
---@class emberlap.check
---@field name string axle and kind: "front fluid"
---@field axle "front"|"rear"|"car" whose it is
---@field kind string "rotor", "fluid", "pedal effort" ...
---@field peak number the worst value (C or SI of the kind)
---@field limit number what it is compared with (C or SI of the kind)
---@field margin number what is left; negative when passed (K or SI of the kind)
---@field band number margin below which it is marginal (K or SI of the kind)
---@field verdict "holds"|"marginal"|"fails" of this check
---@field lap? integer lap that passes the limit
---@field parked? number parked until the limit is passed (s)

---How many hot laps hold. `run.more`
---@class emberlap.more
---@field known boolean false when the stint has no hot lap
---@field hot_laps? integer hot laps in a row that were asked
---@field holds? integer of them, or beyond them, that pass no limit
---@field capped? boolean no limit was found as far as was looked
---@field limit? string what gives out on the lap after: "front fluid"
---@field parked? boolean it gives out while parked

---What the foot feels. `run.pedal`
---@class emberlap.pedal_result
---@field pressure number front line pressure of the hardest stop (Pa)
---@field rear_pressure number rear line pressure at it (Pa)
---@field effort? number at the pad, at it (N)
---@field travel? number of the pad, at it (m)
---@field used? number share of a master's stroke used at it (0..1)
---@field reserve? number share of the stroke left (0..1)
---@field with_vapour? number share used with vapour of fluid that boiled (0..1)
---@field shortfall number braking that the foot cannot give (J)
---@field shortfall_on_lap? integer its first lap
---@field knock_back? number travel of the pad that knocked-back pads cost (m)
---@field run_out? number effort from which the booster helps no more (N)
---@field panic emberlap.axles line pressures of a panic stop

---A line pressure for each axle. `run.pedal.panic`
---@class emberlap.axles
---@field front? number front axle (Pa)
---@field rear? number rear axle (Pa)

---Who locks first; most of it with tyre.grip only. `run.balance`
---@class emberlap.balance_result
---@field asked number hardest deceleration of the stint (m/s2)
---@field front? number front share of the braking force at it (0..1)
---@field ideal? number the share that locks both axles at once (0..1)
---@field turns? number of the bar that put the front 3 points ahead
---@field ahead? number least front share above ideal at the first lock (0..1)
---@field bite? number share of it that a stab reaches before a lock (0..1)
---@field grip? number deceleration to be had (m/s2)
---@field first_to_lock? "front"|"rear" axle that locks first
---@field lock_deceleration? number at which it locks (m/s2)

---What the brakes weigh. `run.mass`
---@class emberlap.mass_result
---@field unsprung number all brakes (kg)
---@field equivalent number mass that turning rotors add when the car slows (kg)
---@field front number brake of one front wheel (kg)
---@field rear number brake of one rear wheel (kg)

---Money, in the unit you count in. `run.cost`
---@class emberlap.cost_result
---@field parts number parts that have a cost (money)
---@field labour number fitting them, at event.labour_rate (money)
---@field event number consumed by the event (money)

---What the day needs. `run.plan`
---@class emberlap.plan
---@field cool? integer fewest cool-down laps after which parking holds
---@field gap? number parked until the same stint holds again (s)
---@field skip_margin? number left to boiling without a cool-down lap (K)
---@field worst? emberlap.worst the worst line

---A hot day, worn pads, no cool-down lap. `run.plan.worst`
---@class emberlap.worst
---@field verdict "holds"|"marginal"|"fails" of the worst line
---@field check string its tightest check: "front fluid"
---@field margin number of that check (K or SI of the kind)

---At the same 1 g with warm pads, against the base. `run.against`
---@class emberlap.against
---@field travel? number change of the pedal's travel, as a share (0..1)
---@field pressure? number change of the line pressure (0..1)
---@field effort? number change of the effort (0..1)
---@field front_share? number change of the front share of the braking (0..1)

---A stop on level ground. `car:stop { ... }`
---@class emberlap.stop
---@field kinetic_energy number that the car loses (J)
---@field brake_energy number of it into the brakes (J)
---@field distance number stopping distance (m)
---@field time number it takes (s)
---@field pressure emberlap.stop_pressure line pressures
---@field effort? number at the pad (N)
---@field travel? number of the pad (m)
---@field first_to_lock? "front"|"rear" where tyre.grip is given

---The highest line pressures of a stop. `car:stop { ... }.pressure`
---@class emberlap.stop_pressure
---@field front number front axle (Pa)
---@field rear number rear axle (Pa)

---The balance of a car at one moment. `car:balance { ... }`
---@class emberlap.balance
---@field front number front share of the braking force (0..1)
---@field ideal number the share that locks both axles at once (0..1)
---@field turns? number of the bar that put the front 3 points ahead
---@field first_to_lock? "front"|"rear" axle that locks first
---@field lock_deceleration? number at which it locks (m/s2)
---@field grip? number deceleration to be had (m/s2)
---@field bite? number share of it that a stab reaches before a lock (0..1)

---How a rotor at one temperature cools. `rotor:cooling { ... }`
---@class emberlap.cooling
---@field convection number mean over the rotor's surface (W/m2K)
---@field radiation number the same, as if it were a film (W/m2K)
---@field faces number film on the rubbed faces (W/m2K)
---@field vanes number film in the vanes; 0 for a solid ring (W/m2K)
---@field watts number all of it (W)

---A node of a network. `net:simulate { ... }.NAME`
---@class emberlap.node
---@field peak number highest temperature (C)
---@field peak_at number when (s)
---@field final number temperature at the end (C)
---@field history number[][] list of { t, T } (s, C)

---A lap of a layout. `el.lap { ... }`
---@class emberlap.own_lap
---@field course string name of the layout
---@field time number lap time (s)
---@field top_speed number highest speed (m/s)
---@field length number of the layout (m)
---@field lost_to_brakes number that brakes which gave less than the tyres hold cost (s)
---@field splits number[] time at each split of the layout (s)
---@field held emberlap.held what it was held by
---@field trace emberlap.trace a course that repeats this lap, for el.run

---How long a lap was held back by what. `el.lap { ... }.held`
---@class emberlap.held
---@field corners number by the sideways grip of the tyres (s)
---@field power number by power (s)
---@field traction number by the grip of the driven tyres (s)
---@field tyres number braking, by the grip of the tyres (s)
---@field brakes number braking, by what pedal and brakes give (s)

---@class emberlap.grid
---@field best fun(self: emberlap.grid, measure: emberlap.measure): emberlap.row? The best row of a sweep by a measure, of those that do not fail if there are any. `grid:best "front.fluid.margin"`
---@field where fun(self: emberlap.grid, wanted: fun(row: emberlap.row): boolean): emberlap.grid The rows for which a function is true. `grid:where(function(row) return row.verdict == "holds" end)`
---@field tradeoff fun(self: emberlap.grid, measures: emberlap.measure[]): emberlap.grid The rows that no other row beats in every one of the measures. `grid:tradeoff { "cost", "mass", "closest" }`
---@field save fun(self: emberlap.grid, name: string) Writes the rows (.csv with a row of units, or .json) below --out. `grid:save "ducts.csv"`

---@class emberlap.list
---@field save fun(self: table, name: string) Writes the packages of a shortlist (.csv), or all that is known of it (.json), below --out. `list:save "shortlist.csv"`

---@class emberlap.run
---@field save fun(self: emberlap.run, name: string, options?: emberlap.save.keys) Writes the history (.csv) or the summary (.json) below --out. `run:save "sprint.csv" or run:save("sprint.csv", { every = "0.5 s" })`

---@class emberlap.net
---@field simulate fun(self: emberlap.net, options: emberlap.simulate.keys): table<string, emberlap.node> Runs a network; gives by node peak, peak_at, final and history, a list of { t, T }. `net:simulate { duration =, every =, step = }`

---@class emberlap
---@field car fun(keys: emberlap.car.keys|string): emberlap.car A car with its brakes. `el.car { key = value, ... } or el.car "file.yaml"`
---@field pedal fun(keys: emberlap.pedal.keys|string): emberlap.pedal Pedal, booster, masters and distribution. `el.pedal { key = value, ... } or el.pedal "file.yaml"`
---@field brake fun(keys: emberlap.brake.keys|string): emberlap.brake The brake of one wheel; both wheels of an axle have the same. `el.brake { key = value, ... } or el.brake "file.yaml"`
---@field rotor fun(keys: emberlap.rotor.keys|string): emberlap.rotor A brake rotor. `el.rotor { key = value, ... } or el.rotor "file.yaml"`
---@field pad fun(keys: emberlap.pad.keys|string): emberlap.pad A brake pad. `el.pad { key = value, ... } or el.pad "file.yaml"`
---@field caliper fun(keys: emberlap.caliper.keys|string): emberlap.caliper A brake caliper. `el.caliper { key = value, ... } or el.caliper "file.yaml"`
---@field duct fun(keys: emberlap.duct.keys|string): emberlap.duct A cooling duct to one wheel. `el.duct { key = value, ... } or el.duct "file.yaml"`
---@field fluid fun(keys: emberlap.fluid.keys|string): emberlap.fluid A brake fluid. `el.fluid { key = value, ... } or el.fluid "file.yaml"`
---@field trace fun(keys: emberlap.trace.keys|string): emberlap.trace A course as one logged drive of it; the log is read at once. `el.trace { key = value, ... } or el.trace "file.yaml"`
---@field stint fun(keys: emberlap.stint.keys|string): emberlap.stint What is driven, in which air. `el.stint { key = value, ... } or el.stint "file.yaml"`
---@field run fun(options: emberlap.run.keys): emberlap.run Runs one car on one course for one stint, and judges it; with base, the car before a change, says what the change did. `el.run { car =, course =, stint =, limits =, event =, base = }`
---@field track fun(layout: string|emberlap.trace.keys): emberlap.trace A course as its layout, read from YAML; laps of it are worked out for the car that is run, lap by lap with its brakes as they are, or once for the car in `of`. `el.track "tracks/low_cinder.yaml" or el.track { file =, driver =, of = }`
---@field lap fun(lap: emberlap.lap.keys): emberlap.own_lap One lap of a layout by one car: time, splits, what it was held by, and its trace, which is a course for el.run. `el.lap { car =, course =, temperature =, fuel =, ambient =, altitude = }`
---@field sweep fun(sweep: emberlap.sweep.keys): emberlap.grid Runs every combination of the options (or `rows`, or a `sample` of them) through `case`, which gives what el.run takes; keeps the `measures` asked for; writes rows to `journal` as they finish. `el.sweep { over = { name = options, ... }, case = function(x) ... end }`
---@field range fun(first: string|number, last: string|number, count: integer): (string|number)[] A list of evenly spaced values, both ends included, for el.sweep. `el.range("6 kg", "10 kg", 9)`
---@field shortlist fun(shortlist: table): table The cheapest packages that hold, of every combination of the options in `change`, each a definition or { name =, part =, cost =, labour =, fits = }; ranked `by` "cost", "event", "mass" or "labour". `el.shortlist { car =, course =, stint =, change = { ["front.pad"] = { ... } } }`
---@field compare fun(...: emberlap.run|emberlap.run[]): table What differs between runs: every key that was given otherwise with its values, and what came of it. `el.compare(before, after) or el.compare { run, run, ... }`
---@field network fun(options: emberlap.network.keys): emberlap.net A network of heat capacities (J/K), conductances (W/K) and heat (W, points { t, W } or a function of t) of the script's own. `el.network { nodes =, links =, heat =, ambient = }`
---@field none any Removes a key in d:with. `d:with { key = el.none }`
---@field args table<string, string?> Text given as name=value on the command line, or nil. `el.args.name`
local el = {}
return el
