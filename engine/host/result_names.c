/* SPDX-License-Identifier: MIT */
#include "host/result_names.h"

#include <string.h>

#define VERDICT "\"holds\"|\"marginal\"|\"fails\""
#define AXLE    "\"front\"|\"rear\""
#define PHASES  "\"out\"|\"hot\"|\"traffic\"|\"cool\"|\"in\"|\"logged\""

#define CLASS(name_, type_, where_, base_, about_)                                                 \
    const mbl_result_class mbl_class_##name_ = {                                                   \
        .name = (type_),                                                                           \
        .where = (where_),                                                                         \
        .base = (base_),                                                                           \
        .about = (about_),                                                                         \
        .names = name_##_names,                                                                    \
        .n = sizeof name_##_names / sizeof name_##_names[0],                                       \
    }

/* ---- heat, by axle ---- */

static const mbl_result_name peak_names[] = {
    {"peak", "number", MBL_ALWAYS, "C", "highest temperature of the stint"},
    {"peak_at", "number", MBL_ALWAYS, "s", "when, since the start of the stint"},
    {"track_peak", "number", MBL_SOMETIMES, "C", "highest on track, the stop in the pits included"},
    {"parked_peak", "number", MBL_SOMETIMES, "C", "highest while parked"},
};
CLASS(peak, "peak", "run.front.rotor.face, .core, .hat, run.front.caliper, run.front.nodes.NAME",
      NULL, "How hot something got.");

static const mbl_result_name rotor_names[] = {
    {"face", "emberlap.peak", MBL_ALWAYS, "", "the rubbed faces"},
    {"core", "emberlap.peak", MBL_ALWAYS, "", "the iron between them, which is judged"},
    {"hat", "emberlap.peak", MBL_ALWAYS, "", "the hat"},
    {"cycles", "number", MBL_ALWAYS, "", "stops of the stint that strain the skin until it flows"},
    {"crack", "number", MBL_ALWAYS, "", "ranks rotors and duties by cracking; no life"},
    {"stress", "number", MBL_ALWAYS, "Pa", "of the skin at the widest gradient"},
    {"left_event", "number", MBL_ALWAYS, "m", "thickness after the event"},
    {"sessions", "number", MBL_ALWAYS, "", "until the minimum; infinite where none is given"},
};
CLASS(rotor, "rotor_result", "run.front.rotor", NULL, "A rotor of an axle.");

static const mbl_result_name pad_names[] = {
    {"left", "number", MBL_ALWAYS, "m", "friction material after the stint"},
    {"left_event", "number", MBL_ALWAYS, "m", "after the event; negative when a set does not last"},
    {"sessions", "number", MBL_ALWAYS, "", "from now until it is worn; infinite without wear"},
    {"sets", "integer", MBL_ALWAYS, "", "sets used up or begun by the event"},
};
CLASS(pad, "pad_result", "run.front.pad", &mbl_class_peak, "The face of a pad, and its life.");

static const mbl_result_name fluid_names[] = {
    {"margin_wet", "number", MBL_ALWAYS, "K", "left to the wet boiling point"},
    {"margin_now", "number", MBL_ALWAYS, "K", "left to the boiling point with its present water"},
    {"margin", "number", MBL_ALWAYS, "K", "left to the one that judges"},
    {"wet_passed_on_lap", "integer", MBL_SOMETIMES, "", "lap that passes the wet boiling point"},
    {"boils_on_lap", "integer", MBL_SOMETIMES, "", "lap that passes the present boiling point"},
    {"wet_passed_parked", "number", MBL_SOMETIMES, "s", "parked until the wet point is passed"},
    {"boils_parked", "number", MBL_SOMETIMES, "s", "parked until the present point is passed"},
    {"vapour", "number", MBL_ALWAYS, "m3", "boiled off in one caliper"},
};
CLASS(fluid, "fluid_result", "run.front.fluid", &mbl_class_peak,
      "The hottest fluid of a caliper, and what is left to boiling.");

static const mbl_result_name corner_names[] = {
    {"rotor", "emberlap.rotor_result", MBL_ALWAYS, "", "the rotor"},
    {"pad", "emberlap.pad_result", MBL_ALWAYS, "", "the pads"},
    {"caliper", "emberlap.peak", MBL_ALWAYS, "", "the body of the caliper"},
    {"fluid", "emberlap.fluid_result", MBL_ALWAYS, "", "the fluid in it"},
    {"nodes", "table<string, emberlap.peak>", MBL_ALWAYS, "", "nodes of your own, by name"},
    {"duct_flow", "number", MBL_ALWAYS, "kg/s", "air to one wheel at top speed; 0 without a duct"},
};
CLASS(corner, "corner", "run.front.left, run.front.right", NULL, "The brake of one wheel.");

static const mbl_result_name axle_names[] = {
    {"left", "emberlap.corner", MBL_ALWAYS, "", "the left wheel"},
    {"right", "emberlap.corner", MBL_ALWAYS, "", "the right wheel"},
};
CLASS(axle, "axle", "run.front, run.rear", &mbl_class_corner,
      "The worse brake of an axle; so far both are one.");

/* ---- laps and checks ---- */

static const mbl_result_name lap_axle_names[] = {
    {"face", "number", MBL_ALWAYS, "C", "highest of the lap: rubbed faces"},
    {"core", "number", MBL_ALWAYS, "C", "rotor core"},
    {"hat", "number", MBL_ALWAYS, "C", "hat"},
    {"pad", "number", MBL_ALWAYS, "C", "pad face"},
    {"caliper", "number", MBL_ALWAYS, "C", "caliper body"},
    {"fluid", "number", MBL_ALWAYS, "C", "fluid"},
};
CLASS(lap_axle, "lap_axle", "run.laps[i].front, .rear", NULL, "How hot an axle got in a lap.");

static const mbl_result_name lap_names[] = {
    {"kind", PHASES, MBL_ALWAYS, "", "phase of the stint"},
    {"number", "integer", MBL_ALWAYS, "", "counted from 1"},
    {"start", "number", MBL_ALWAYS, "s", "since the start of the stint"},
    {"time", "number", MBL_ALWAYS, "s", "lap time"},
    {"energy", "number", MBL_ALWAYS, "J", "braking energy of the car"},
    {"braking_time", "number", MBL_ALWAYS, "s", "with the brakes on"},
    {"top_speed", "number", MBL_ALWAYS, "m/s", "highest speed"},
    {"lost_to_brakes", "number", MBL_ALWAYS, "s",
     "that brakes which gave less than the tyres hold cost; 0 by a log"},
    {"front", "emberlap.lap_axle", MBL_ALWAYS, "", "front axle"},
    {"rear", "emberlap.lap_axle", MBL_ALWAYS, "", "rear axle"},
};
CLASS(lap, "lap", "run.laps[i]", NULL, "One lap that was driven.");

static const mbl_result_name check_names[] = {
    {"name", "string", MBL_ALWAYS, "", "axle and kind: \"front fluid\""},
    {"axle", AXLE "|\"car\"", MBL_ALWAYS, "", "whose it is"},
    {"kind", "string", MBL_ALWAYS, "", "\"rotor\", \"fluid\", \"pedal effort\" ..."},
    {"peak", "number", MBL_ALWAYS, "C or SI of the kind", "the worst value"},
    {"limit", "number", MBL_ALWAYS, "C or SI of the kind", "what it is compared with"},
    {"margin", "number", MBL_ALWAYS, "K or SI of the kind", "what is left; negative when passed"},
    {"band", "number", MBL_ALWAYS, "K or SI of the kind", "margin below which it is marginal"},
    {"verdict", VERDICT, MBL_ALWAYS, "", "of this check"},
    {"lap", "integer", MBL_SOMETIMES, "", "lap that passes the limit"},
    {"parked", "number", MBL_SOMETIMES, "s", "parked until the limit is passed"},
};
CLASS(check, "check", "run.checks[i]", NULL, "One limit; the tightest by margin over band first.");

static const mbl_result_name more_names[] = {
    {"known", "boolean", MBL_ALWAYS, "", "false when the stint has no hot lap"},
    {"hot_laps", "integer", MBL_SOMETIMES, "", "hot laps in a row that were asked"},
    {"holds", "integer", MBL_SOMETIMES, "", "of them, or beyond them, that pass no limit"},
    {"capped", "boolean", MBL_SOMETIMES, "", "no limit was found as far as was looked"},
    {"limit", "string", MBL_SOMETIMES, "", "what gives out on the lap after: \"front fluid\""},
    {"parked", "boolean", MBL_SOMETIMES, "", "it gives out while parked"},
};
CLASS(more, "more", "run.more", NULL, "How many hot laps hold.");

/* ---- package ---- */

static const mbl_result_name axles_names[] = {
    {"front", "number", MBL_SOMETIMES, "Pa", "front axle"},
    {"rear", "number", MBL_SOMETIMES, "Pa", "rear axle"},
};
CLASS(axles, "axles", "run.pedal.panic", NULL, "A line pressure for each axle.");

static const mbl_result_name pedal_names[] = {
    {"pressure", "number", MBL_ALWAYS, "Pa", "front line pressure of the hardest stop"},
    {"rear_pressure", "number", MBL_ALWAYS, "Pa", "rear line pressure at it"},
    {"effort", "number", MBL_SOMETIMES, "N", "at the pad, at it"},
    {"travel", "number", MBL_SOMETIMES, "m", "of the pad, at it"},
    {"used", "number", MBL_SOMETIMES, "0..1", "share of a master's stroke used at it"},
    {"reserve", "number", MBL_SOMETIMES, "0..1", "share of the stroke left"},
    {"with_vapour", "number", MBL_SOMETIMES, "0..1", "share used with vapour of fluid that boiled"},
    {"shortfall", "number", MBL_ALWAYS, "J", "braking that the foot cannot give"},
    {"shortfall_on_lap", "integer", MBL_SOMETIMES, "", "its first lap"},
    {"knock_back", "number", MBL_SOMETIMES, "m", "travel of the pad that knocked-back pads cost"},
    {"run_out", "number", MBL_SOMETIMES, "N", "effort from which the booster helps no more"},
    {"panic", "emberlap.axles", MBL_ALWAYS, "", "line pressures of a panic stop"},
};
CLASS(pedal, "pedal_result", "run.pedal", NULL, "What the foot feels.");

static const mbl_result_name balance_names[] = {
    {"asked", "number", MBL_ALWAYS, "m/s2", "hardest deceleration of the stint"},
    {"front", "number", MBL_SOMETIMES, "0..1", "front share of the braking force at it"},
    {"ideal", "number", MBL_SOMETIMES, "0..1", "the share that locks both axles at once"},
    {"turns", "number", MBL_SOMETIMES, "", "of the bar that put the front 3 points ahead"},
    {"ahead", "number", MBL_SOMETIMES, "0..1", "least front share above ideal at the first lock"},
    {"bite", "number", MBL_SOMETIMES, "0..1", "share of it that a stab reaches before a lock"},
    {"grip", "number", MBL_SOMETIMES, "m/s2", "deceleration to be had"},
    {"first_to_lock", AXLE, MBL_SOMETIMES, "", "axle that locks first"},
    {"lock_deceleration", "number", MBL_SOMETIMES, "m/s2", "at which it locks"},
};
CLASS(balance, "balance_result", "run.balance", NULL,
      "Who locks first; most of it with tyre.grip only.");

static const mbl_result_name mass_names[] = {
    {"unsprung", "number", MBL_ALWAYS, "kg", "all brakes"},
    {"equivalent", "number", MBL_ALWAYS, "kg", "mass that turning rotors add when the car slows"},
    {"front", "number", MBL_ALWAYS, "kg", "brake of one front wheel"},
    {"rear", "number", MBL_ALWAYS, "kg", "brake of one rear wheel"},
};
CLASS(mass, "mass_result", "run.mass", NULL, "What the brakes weigh.");

static const mbl_result_name cost_names[] = {
    {"parts", "number", MBL_ALWAYS, "money", "parts that have a cost"},
    {"labour", "number", MBL_ALWAYS, "money", "fitting them, at event.labour_rate"},
    {"event", "number", MBL_ALWAYS, "money", "consumed by the event"},
};
CLASS(cost, "cost_result", "run.cost", NULL, "Money, in the unit you count in.");

static const mbl_result_name against_names[] = {
    {"travel", "number", MBL_SOMETIMES, "0..1", "change of the pedal's travel, as a share"},
    {"pressure", "number", MBL_SOMETIMES, "0..1", "change of the line pressure"},
    {"effort", "number", MBL_SOMETIMES, "0..1", "change of the effort"},
    {"front_share", "number", MBL_SOMETIMES, "0..1", "change of the front share of the braking"},
};
CLASS(against, "against", "run.against", NULL, "At the same 1 g with warm pads, against the base.");

static const mbl_result_name worst_names[] = {
    {"verdict", VERDICT, MBL_ALWAYS, "", "of the worst line"},
    {"check", "string", MBL_ALWAYS, "", "its tightest check: \"front fluid\""},
    {"margin", "number", MBL_ALWAYS, "K or SI of the kind", "of that check"},
};
CLASS(worst, "worst", "run.plan.worst", NULL, "A hot day, worn pads, no cool-down lap.");

static const mbl_result_name plan_names[] = {
    {"cool", "integer", MBL_SOMETIMES, "", "fewest cool-down laps after which parking holds"},
    {"gap", "number", MBL_SOMETIMES, "s", "parked until the same stint holds again"},
    {"skip_margin", "number", MBL_SOMETIMES, "K", "left to boiling without a cool-down lap"},
    {"worst", "emberlap.worst", MBL_SOMETIMES, "", "the worst line"},
};
CLASS(plan, "plan", "run.plan", NULL, "What the day needs.");

static const mbl_result_name run_names[] = {
    {"verdict", VERDICT, MBL_ALWAYS, "", "the worst of the checks"},
    {"front", "emberlap.axle", MBL_ALWAYS, "", "front brakes"},
    {"rear", "emberlap.axle", MBL_ALWAYS, "", "rear brakes"},
    {"laps", "emberlap.lap[]", MBL_ALWAYS, "", "lap by lap"},
    {"checks", "emberlap.check[]", MBL_ALWAYS, "", "limits, the tightest first"},
    {"more", "emberlap.more", MBL_ALWAYS, "", "how many hot laps hold"},
    {"pedal", "emberlap.pedal_result", MBL_ALWAYS, "", "pressure, effort, travel"},
    {"balance", "emberlap.balance_result", MBL_ALWAYS, "", "shares, grip, locking"},
    {"mass", "emberlap.mass_result", MBL_ALWAYS, "", "what the brakes weigh"},
    {"cost", "emberlap.cost_result", MBL_ALWAYS, "", "what parts and event cost"},
    {"energy", "number", MBL_ALWAYS, "J", "braking energy of the whole car"},
    {"residual", "number", MBL_ALWAYS, "0..1", "share of the heat that is unaccounted for"},
    {"plan", "emberlap.plan", MBL_ASKED, "", "laps and gaps of the day"},
    {"base", "emberlap.run", MBL_SOMETIMES, "", "the run before the change"},
    {"against", "emberlap.against", MBL_SOMETIMES, "", "what the change did to the pedal"},
    {"save", MBL_METHOD, MBL_ASKED, "", "writes the history or the summary"},
};
CLASS(run, "run", "el.run { ... }", NULL, "A run and its verdict; print(run) shows all of it.");

/* ---- answers and networks ---- */

static const mbl_result_name node_names[] = {
    {"peak", "number", MBL_ALWAYS, "C", "highest temperature"},
    {"peak_at", "number", MBL_ALWAYS, "s", "when"},
    {"final", "number", MBL_ALWAYS, "C", "temperature at the end"},
    {"history", "number[][]", MBL_ALWAYS, "s, C", "list of { t, T }"},
};
CLASS(node, "node", "net:simulate { ... }.NAME", NULL, "A node of a network.");

static const mbl_result_name cooling_names[] = {
    {"convection", "number", MBL_ALWAYS, "W/m2K", "mean over the rotor's surface"},
    {"radiation", "number", MBL_ALWAYS, "W/m2K", "the same, as if it were a film"},
    {"faces", "number", MBL_ALWAYS, "W/m2K", "film on the rubbed faces"},
    {"vanes", "number", MBL_ALWAYS, "W/m2K", "film in the vanes; 0 for a solid ring"},
    {"watts", "number", MBL_ALWAYS, "W", "all of it"},
};
CLASS(cooling, "cooling", "rotor:cooling { ... }", NULL, "How a rotor at one temperature cools.");

static const mbl_result_name stop_pressure_names[] = {
    {"front", "number", MBL_ALWAYS, "Pa", "front axle"},
    {"rear", "number", MBL_ALWAYS, "Pa", "rear axle"},
};
CLASS(stop_pressure, "stop_pressure", "car:stop { ... }.pressure", NULL,
      "The highest line pressures of a stop.");

static const mbl_result_name stop_names[] = {
    {"kinetic_energy", "number", MBL_ALWAYS, "J", "that the car loses"},
    {"brake_energy", "number", MBL_ALWAYS, "J", "of it into the brakes"},
    {"distance", "number", MBL_ALWAYS, "m", "stopping distance"},
    {"time", "number", MBL_ALWAYS, "s", "it takes"},
    {"pressure", "emberlap.stop_pressure", MBL_ALWAYS, "", "line pressures"},
    {"effort", "number", MBL_SOMETIMES, "N", "at the pad"},
    {"travel", "number", MBL_SOMETIMES, "m", "of the pad"},
    {"first_to_lock", AXLE, MBL_SOMETIMES, "", "where tyre.grip is given"},
};
CLASS(stop, "stop", "car:stop { ... }", NULL, "A stop on level ground.");

static const mbl_result_name car_balance_names[] = {
    {"front", "number", MBL_ALWAYS, "0..1", "front share of the braking force"},
    {"ideal", "number", MBL_ALWAYS, "0..1", "the share that locks both axles at once"},
    {"turns", "number", MBL_SOMETIMES, "", "of the bar that put the front 3 points ahead"},
    {"first_to_lock", AXLE, MBL_SOMETIMES, "", "axle that locks first"},
    {"lock_deceleration", "number", MBL_SOMETIMES, "m/s2", "at which it locks"},
    {"grip", "number", MBL_SOMETIMES, "m/s2", "deceleration to be had"},
    {"bite", "number", MBL_SOMETIMES, "0..1", "share of it that a stab reaches before a lock"},
};
CLASS(car_balance, "balance", "car:balance { ... }", NULL, "The balance of a car at one moment.");

static const mbl_result_name held_names[] = {
    {"corners", "number", MBL_ALWAYS, "s", "by the sideways grip of the tyres"},
    {"power", "number", MBL_ALWAYS, "s", "by power"},
    {"traction", "number", MBL_ALWAYS, "s", "by the grip of the driven tyres"},
    {"tyres", "number", MBL_ALWAYS, "s", "braking, by the grip of the tyres"},
    {"brakes", "number", MBL_ALWAYS, "s", "braking, by what pedal and brakes give"},
};
CLASS(held, "held", "el.lap { ... }.held", NULL, "How long a lap was held back by what.");

static const mbl_result_name own_lap_names[] = {
    {"course", "string", MBL_ALWAYS, "", "name of the layout"},
    {"time", "number", MBL_ALWAYS, "s", "lap time"},
    {"top_speed", "number", MBL_ALWAYS, "m/s", "highest speed"},
    {"length", "number", MBL_ALWAYS, "m", "of the layout"},
    {"lost_to_brakes", "number", MBL_ALWAYS, "s",
     "that brakes which gave less than the tyres hold cost"},
    {"splits", "number[]", MBL_ALWAYS, "s", "time at each split of the layout"},
    {"held", "emberlap.held", MBL_ALWAYS, "", "what it was held by"},
    {"trace", "emberlap.trace", MBL_ALWAYS, "", "a course that repeats this lap, for el.run"},
};
CLASS(own_lap, "own_lap", "el.lap { ... }", NULL, "A lap of a layout.");

const mbl_result_class *const mbl_result_classes[] = {
    &mbl_class_run,         &mbl_class_axle,    &mbl_class_corner,
    &mbl_class_rotor,       &mbl_class_peak,    &mbl_class_pad,
    &mbl_class_fluid,       &mbl_class_lap,     &mbl_class_lap_axle,
    &mbl_class_check,       &mbl_class_more,    &mbl_class_pedal,
    &mbl_class_axles,       &mbl_class_balance, &mbl_class_mass,
    &mbl_class_cost,        &mbl_class_plan,    &mbl_class_worst,
    &mbl_class_against,     &mbl_class_stop,    &mbl_class_stop_pressure,
    &mbl_class_car_balance, &mbl_class_cooling, &mbl_class_node,
    &mbl_class_own_lap,     &mbl_class_held,    NULL};

const mbl_result_name *mbl_result_row(const mbl_result_class *of, const char *name)
{
    for (; of != NULL; of = of->base)
        for (size_t i = 0; i < of->n; i++)
            if (strcmp(of->names[i].name, name) == 0)
                return &of->names[i];
    return NULL;
}
