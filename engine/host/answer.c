/* SPDX-License-Identifier: MIT */
#include "host/answer.h"

#include "host/definition.h"
#include "host/options.h"

#include <math.h>

static int boils_at(lua_State *L)
{
    static const char name[] = "boils_at";
    static const char *const known[] = {"water", "pressure", "altitude", NULL};
    mbl_fluid fluid;
    mbl_extract(&mbl_fluid_schema, mbl_options_self(L, &mbl_fluid_schema, name), &fluid);
    mbl_options_check(L, name, known);
    double water = mbl_option_positive(L, name, "water", MBL_Q_SHARE, mbl_fluid_water(&fluid));
    double gauge = mbl_option(L, name, "pressure", MBL_Q_PRESSURE, 0);
    double altitude = mbl_option(L, name, "altitude", MBL_Q_LENGTH, 0);
    double p = mbl_air_pressure(altitude) + gauge;
    lua_pushnumber(L, mbl_boiling_point(&fluid, water, p) - 273.15);
    return 1;
}

static int mass(lua_State *L)
{
    mbl_rotor rotor;
    mbl_extract(&mbl_rotor_schema, mbl_options_self(L, &mbl_rotor_schema, "mass"), &rotor);
    lua_pushnumber(L, mbl_rotor_mass(&rotor));
    return 1;
}

/* A duct given as an option, into a brake that has it. */
static void take_duct(lua_State *L, mbl_brake *brake)
{
    if (lua_isnoneornil(L, 2))
        return;
    if (lua_getfield(L, 2, "duct") != LUA_TNIL) {
        const mbl_definition *d = mbl_lua_test(L, -1, &mbl_definition_tag);
        if (d == NULL || d->node == NULL || d->node->bound != &mbl_duct_schema)
            (void)mbl_host_wrong(L, "cooling.duct", "expected a duct made by el.duct");
        mbl_extract(&mbl_duct_schema, d->node, &brake->duct);
    }
    lua_pop(L, 1);
}

static void set(lua_State *L, const char *name, double value)
{
    lua_pushnumber(L, value);
    lua_setfield(L, -2, name);
}

static int cooling(lua_State *L)
{
    static const char name[] = "cooling";
    static const char *const known[] = {"speed",    "temperature", "duct",        "ambient",
                                        "altitude", "airflow",     "tyre_radius", NULL};
    const mbl_node *node = mbl_options_self(L, &mbl_rotor_schema, name);
    mbl_options_check(L, name, known);
    mbl_brake brake;
    mbl_extract(&mbl_brake_schema, NULL, &brake);
    mbl_extract(&mbl_rotor_schema, node, &brake.rotor);
    take_duct(L, &brake);
    brake.airflow = mbl_option_positive(L, name, "airflow", MBL_Q_SHARE, brake.airflow);
    mbl_ring ring = mbl_ring_of(&brake.rotor);
    mbl_surroundings at = {
        .brake = &brake,
        /* a tyre of 31 cm when nothing is said: it sets how fast the disc turns */
        .tyre_radius = mbl_option_positive(L, name, "tyre_radius", MBL_Q_LENGTH, 0.31),
        .ambient = mbl_option(L, name, "ambient", MBL_Q_LEVEL, 298.15),
        .p = mbl_air_pressure(mbl_option(L, name, "altitude", MBL_Q_LENGTH, 0)),
        .vanes = ring.channels};
    double speed = mbl_option_positive(L, name, "speed", MBL_Q_SPEED, 0);
    double T = mbl_option(L, name, "temperature", MBL_Q_LEVEL, 673.15);
    if (at.tyre_radius < 0.1)
        return mbl_host_wrong(L, "cooling.tyre_radius", "%g m is no tyre", at.tyre_radius);
    mbl_rotor_cooling c = mbl_rotor_cools(&at, speed, T);
    lua_newtable(L);
    set(L, "convection", c.convection);
    set(L, "radiation", c.radiation);
    set(L, "faces", c.faces);
    set(L, "vanes", c.vanes);
    set(L, "watts", c.watts);
    return 1;
}

static int flow(lua_State *L)
{
    static const char name[] = "flow";
    static const char *const known[] = {"speed", "ambient", "altitude", NULL};
    mbl_duct duct;
    mbl_extract(&mbl_duct_schema, mbl_options_self(L, &mbl_duct_schema, name), &duct);
    mbl_options_check(L, name, known);
    double speed = mbl_option_positive(L, name, "speed", MBL_Q_SPEED, 0);
    double ambient = mbl_option(L, name, "ambient", MBL_Q_LEVEL, 298.15);
    mbl_air air =
        mbl_air_at(ambient, mbl_air_pressure(mbl_option(L, name, "altitude", MBL_Q_LENGTH, 0)));
    lua_pushnumber(L, mbl_duct_flow(&duct, speed, &air));
    return 1;
}

static int friction_at(lua_State *L)
{
    static const char name[] = "friction_at";
    static const char *const known[] = {"temperature", "speed", "pressure", NULL};
    mbl_pad pad;
    mbl_extract(&mbl_pad_schema, mbl_options_self(L, &mbl_pad_schema, name), &pad);
    mbl_options_check(L, name, known);
    double T = mbl_option(L, name, "temperature", MBL_Q_LEVEL, 573.15);
    double v = mbl_option_positive(L, name, "speed", MBL_Q_SPEED, 30);
    double p = mbl_option_positive(L, name, "pressure", MBL_Q_PRESSURE, 4e6);
    lua_pushnumber(L, mbl_friction_at(&pad, T, v, p));
    return 1;
}

/* Energies have no unit to be read in: a number is in J. */
static double energy_option(lua_State *L, const char *name)
{
    int type = lua_istable(L, 2) ? lua_getfield(L, 2, "energy") : LUA_TNIL;
    double energy = type == LUA_TNUMBER ? lua_tonumber(L, -1) : -1;
    if (!(energy >= 0 && isfinite(energy)))
        (void)mbl_host_wrong(L, name, "energy is the friction energy of one wheel, a number in J");
    lua_pop(L, 1);
    return energy;
}

static int wear(lua_State *L)
{
    static const char name[] = "wear";
    static const char *const known[] = {"energy", "temperature", NULL};
    mbl_pad pad;
    mbl_extract(&mbl_pad_schema, mbl_options_self(L, &mbl_pad_schema, name), &pad);
    mbl_options_check(L, name, known);
    double energy = energy_option(L, name);
    double T = mbl_option(L, name, "temperature", MBL_Q_LEVEL, 573.15);
    lua_pushnumber(L, mbl_pad_wear_depth(&pad, energy, T));
    return 1;
}

const mbl_answer mbl_answers[] = {
    {&mbl_fluid_schema, "boils_at", "fluid:boils_at { water =, pressure =, altitude = }",
     "Boiling point in C; its own water, no line pressure, at the sea unless given.", boils_at},
    {&mbl_rotor_schema, "cooling",
     "rotor:cooling { speed =, temperature =, duct =, ambient =, altitude =, airflow =, "
     "tyre_radius "
     "= }",
     "How it cools at one temperature: convection, radiation, faces, vanes in W/m2K, and watts.",
     cooling},
    {&mbl_rotor_schema, "mass", "rotor:mass()", "Ring and hat, kg.", mass},
    {&mbl_duct_schema, "flow", "duct:flow { speed =, ambient =, altitude = }",
     "Air that reaches one wheel, kg/s.", flow},
    {&mbl_pad_schema, "friction_at", "pad:friction_at { temperature =, speed =, pressure = }",
     "Coefficient of friction; at 300 C, 30 m/s and 40 bar unless given.", friction_at},
    {&mbl_pad_schema, "wear", "pad:wear { energy =, temperature = }",
     "What the friction energy of one wheel (J) takes off each of its two pads, m; at 300 C unless "
     "given.",
     wear},
    {&mbl_car_schema, "stop",
     "car:stop { from =, to =, deceleration =, temperature =, fuel =, ambient =, altitude = }",
     "A stop on level ground: kinetic_energy, brake_energy (J), distance, time, the highest "
     "pressure.front and .rear, effort (N), travel (m at the pad), and first_to_lock, the axle "
     "that locks first where tyre.grip is given. Unless given: to a standstill, pads at 300 C, a "
     "full tank, 15 C at the sea, and as hard as no wheel locks.",
     mbl_answer_stop},
    {&mbl_car_schema, "balance",
     "car:balance { deceleration =, speed =, temperature =, fuel =, ambient =, altitude = }",
     "Front share of the braking force, and the ideal one; turns of the bar that put it 3 points "
     "ahead; where tyre.grip is given first_to_lock, lock_deceleration, grip (m/s2) and bite. At "
     "1 g, 30 m/s, 300 C, with a full tank, in air of 15 C at the sea unless given.",
     mbl_answer_balance},
};
const size_t mbl_answer_count = sizeof mbl_answers / sizeof mbl_answers[0];
