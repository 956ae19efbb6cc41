/* SPDX-License-Identifier: MIT */
#include "host/answer.h"

#include "host/lap.h"
#include "host/options.h"
#include "host/result_put.h"

#include <math.h>

/* ---- fluid ---- */

typedef struct boiling_options {
    double water, pressure, altitude;
} boiling_options;

#define T boiling_options
static const mbl_field boiling_fields[] = {
    NUMBER("water", water, MBL_INFERRED, SHARE, 0, 0.08, NAN, "water in the fluid, by mass", ""),
    NUMBER("pressure", pressure, MBL_DEFAULT, PRESSURE, 0, 4e7, 0, "line pressure", ""),
    OPTION_ALTITUDE(altitude),
};
#undef T
static SCHEMA(boiling_takes, "boils_at", boiling_options, boiling_fields, NULL,
              "Options of fluid:boils_at.");

static int boils_at(lua_State *L)
{
    mbl_fluid fluid;
    boiling_options o;
    mbl_options_take(L, &mbl_fluid_schema, &fluid, &boiling_takes, &o);
    double water = isnan(o.water) ? mbl_fluid_water(&fluid) : o.water;
    double p = mbl_air_pressure(o.altitude) + o.pressure;
    lua_pushnumber(L, mbl_boiling_point(&fluid, water, p) - 273.15);
    return 1;
}

/* ---- rotor ---- */

static int mass(lua_State *L)
{
    mbl_rotor rotor;
    mbl_extract(&mbl_rotor_schema, mbl_options_self(L, &mbl_rotor_schema, "mass"), &rotor);
    lua_pushnumber(L, mbl_rotor_mass(&rotor));
    return 1;
}

typedef struct cooling_options {
    double speed, temperature, ambient, altitude, airflow, tyre_radius;
    mbl_duct duct;
} cooling_options;

#define T cooling_options
static const mbl_field cooling_fields[] = {
    OPTION_SPEED("speed", speed, MBL_DEFAULT, 0, "speed of the car"),
    OPTION_TEMPERATURE(temperature, 400, "temperature of the rotor throughout"),
    PART("duct", duct, MBL_OPTIONAL, &mbl_duct_schema, "a duct made by el.duct"),
    OPTION_AMBIENT(ambient, 25),
    OPTION_ALTITUDE(altitude),
    NUMBER("airflow", airflow, MBL_INFERRED, SHARE, 0.05, 1.5, NAN,
           "speed of the air at the brake over that behind an ordinary wheel", ""),
    /* it sets how fast the disc turns */
    NUMBER("tyre_radius", tyre_radius, MBL_DEFAULT, LENGTH, 0.2, 0.5, 0.31,
           "rolling radius of the tyre", COMMON_PRACTICE),
};
#undef T
static SCHEMA(cooling_takes, "cooling", cooling_options, cooling_fields, NULL,
              "Options of rotor:cooling.");

static int cooling(lua_State *L)
{
    mbl_brake brake;
    cooling_options o;
    mbl_extract(&mbl_brake_schema, NULL, &brake);
    mbl_options_take(L, &mbl_rotor_schema, &brake.rotor, &cooling_takes, &o);
    brake.duct = o.duct;
    if (!isnan(o.airflow))
        brake.airflow = o.airflow;
    mbl_surroundings at = {.brake = &brake,
                           .tyre_radius = o.tyre_radius,
                           .ambient = o.ambient,
                           .p = mbl_air_pressure(o.altitude),
                           .vanes = mbl_ring_of(&brake.rotor).channels};
    mbl_rotor_cooling c = mbl_rotor_cools(&at, o.speed, o.temperature);
    lua_newtable(L);
    mbl_result_number(L, "convection", c.convection);
    mbl_result_number(L, "radiation", c.radiation);
    mbl_result_number(L, "faces", c.faces);
    mbl_result_number(L, "vanes", c.vanes);
    mbl_result_number(L, "watts", c.watts);
    mbl_result_seal_as(L, "cooling", &mbl_class_cooling);
    return 1;
}

/* ---- duct ---- */

typedef struct flow_options {
    double speed, ambient, altitude;
} flow_options;

#define T flow_options
static const mbl_field flow_fields[] = {
    OPTION_SPEED("speed", speed, MBL_DEFAULT, 0, "speed of the car"),
    OPTION_AMBIENT(ambient, 25),
    OPTION_ALTITUDE(altitude),
};
#undef T
static SCHEMA(flow_takes, "flow", flow_options, flow_fields, NULL, "Options of duct:flow.");

static int flow(lua_State *L)
{
    mbl_duct duct;
    flow_options o;
    mbl_options_take(L, &mbl_duct_schema, &duct, &flow_takes, &o);
    mbl_air air = mbl_air_at(o.ambient, mbl_air_pressure(o.altitude));
    lua_pushnumber(L, mbl_duct_flow(&duct, o.speed, &air));
    return 1;
}

/* ---- pad ---- */

typedef struct friction_options {
    double temperature, speed, pressure;
} friction_options;

#define T friction_options
static const mbl_field friction_fields[] = {
    OPTION_TEMPERATURE(temperature, 300, "temperature of the face"),
    OPTION_SPEED("speed", speed, MBL_DEFAULT, 30, "speed of the car"),
    NUMBER("pressure", pressure, MBL_DEFAULT, PRESSURE, 0, 4e7, 4e6, "line pressure", ""),
};
#undef T
static SCHEMA(friction_takes, "friction_at", friction_options, friction_fields, NULL,
              "Options of pad:friction_at.");

static int friction_at(lua_State *L)
{
    mbl_pad pad;
    friction_options o;
    mbl_options_take(L, &mbl_pad_schema, &pad, &friction_takes, &o);
    lua_pushnumber(L, mbl_friction_at(&pad, o.temperature, o.speed, o.pressure));
    return 1;
}

typedef struct wear_options {
    double energy, temperature;
} wear_options;

#define T wear_options
static const mbl_field wear_fields[] = {
    /* energies have no unit to be read in: a number is in J */
    NUMBER("energy", energy, MBL_REQUIRED, RATIO, 0, 1e12, NAN,
           "friction energy of one wheel, a number in J: 2 MJ is 2e6", ""),
    OPTION_TEMPERATURE(temperature, 300, "temperature of the face"),
};
#undef T
static SCHEMA(wear_takes, "wear", wear_options, wear_fields, NULL, "Options of pad:wear.");

static int wear(lua_State *L)
{
    mbl_pad pad;
    wear_options o;
    mbl_options_take(L, &mbl_pad_schema, &pad, &wear_takes, &o);
    lua_pushnumber(L, mbl_pad_wear_depth(&pad, o.energy, o.temperature));
    return 1;
}

const mbl_answer mbl_answers[] = {
    {&mbl_fluid_schema, "boils_at", "fluid:boils_at { water =, pressure =, altitude = }",
     "Boiling point in C; its own water, no line pressure, at the sea unless given.", boils_at,
     &boiling_takes, "number"},
    {&mbl_rotor_schema, "cooling",
     "rotor:cooling { speed =, temperature =, duct =, ambient =, altitude =, airflow =, "
     "tyre_radius "
     "= }",
     "How it cools at one temperature: convection, radiation, faces, vanes in W/m2K, and watts.",
     cooling, &cooling_takes, "emberlap.cooling"},
    {&mbl_rotor_schema, "mass", "rotor:mass()", "Ring and hat, kg.", mass, NULL, "number"},
    {&mbl_duct_schema, "flow", "duct:flow { speed =, ambient =, altitude = }",
     "Air that reaches one wheel, kg/s.", flow, &flow_takes, "number"},
    {&mbl_pad_schema, "friction_at", "pad:friction_at { temperature =, speed =, pressure = }",
     "Coefficient of friction; at 300 C, 30 m/s and 40 bar unless given.", friction_at,
     &friction_takes, "number"},
    {&mbl_pad_schema, "wear", "pad:wear { energy =, temperature = }",
     "What the friction energy of one wheel (J) takes off each of its two pads, m; at 300 C unless "
     "given.",
     wear, &wear_takes, "number"},
    {&mbl_car_schema, "stop",
     "car:stop { from =, to =, deceleration =, temperature =, fuel =, ambient =, altitude = }",
     "A stop on level ground: kinetic_energy, brake_energy (J), distance, time, the highest "
     "pressure.front and .rear, effort (N), travel (m at the pad), and first_to_lock, the axle "
     "that locks first where tyre.grip is given. Unless given: to a standstill, pads at 300 C, a "
     "full tank, 15 C at the sea, and as hard as no wheel locks.",
     mbl_answer_stop, &mbl_stop_schema, "emberlap.stop"},
    {&mbl_car_schema, "balance",
     "car:balance { deceleration =, speed =, temperature =, fuel =, ambient =, altitude = }",
     "Front share of the braking force, and the ideal one; turns of the bar that put it 3 points "
     "ahead; where tyre.grip is given first_to_lock, lock_deceleration, grip (m/s2) and bite. At "
     "1 g, 30 m/s, 300 C, with a full tank, in air of 15 C at the sea unless given.",
     mbl_answer_balance, &mbl_balance_schema, "emberlap.balance"},
    {&mbl_course_schema, "layout", "course:layout { lap = }",
     "The layout of a logged lap, from its positions, yaw rate or lateral acceleration: a course "
     "that any car can drive.",
     mbl_course_layout, &mbl_layout_options, "emberlap.trace"},
    {&mbl_course_schema, "driven_by", "course:driven_by(car)",
     "The repeated lap of a log, scaled from the car in `of` to another: each place with the same "
     "share of what the car can do. For changes of a few tenths; a layout is better for more.",
     mbl_course_driven_by, NULL, "fun(self: emberlap.trace, car: emberlap.car): emberlap.trace"},
    {&mbl_course_schema, "save", "course:save \"course.yaml\"",
     "Writes a layout as YAML below --out.", mbl_course_save, NULL,
     "fun(self: emberlap.trace, name: string)"},
};
const size_t mbl_answer_count = sizeof mbl_answers / sizeof mbl_answers[0];
