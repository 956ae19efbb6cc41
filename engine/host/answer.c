/* SPDX-License-Identifier: MIT */
#include "host/answer.h"

#include "host/definition.h"

#include <math.h>
#include <string.h>

/* The definition a method was called on, of the right kind. */
static const mbl_node *self(lua_State *L, const mbl_schema *schema, const char *name)
{
    const mbl_definition *d = mbl_lua_test(L, 1, &mbl_definition_tag);
    if (d == NULL || d->node == NULL || d->node->bound != schema)
        (void)mbl_host_wrong(L, "", "%s is called on a %s, with a colon", name, schema->name);
    return d->node;
}

/* Refuses options that are not in `known`, NULL-terminated; the options are at index 2 or absent.
 */
static void check_options(lua_State *L, const char *name, const char *const *known)
{
    size_t n = 0;
    while (known[n] != NULL)
        n++;
    if (lua_isnoneornil(L, 2))
        return;
    if (!lua_istable(L, 2))
        (void)mbl_host_wrong(L, name, "takes one table of options");
    for (lua_pushnil(L); lua_next(L, 2); lua_pop(L, 1)) {
        const char *key = lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "?";
        bool found = false;
        for (size_t i = 0; i < n; i++)
            found = found || strcmp(known[i], key) == 0;
        if (!found)
            (void)mbl_host_unknown(L, name, key, known, n);
    }
}

/* An option as SI: a bare number or text with a unit; `otherwise` when it is not given. */
static double option(lua_State *L, const char *name, const char *key, mbl_quantity quantity,
                     double otherwise)
{
    if (lua_isnoneornil(L, 2))
        return otherwise;
    double si = otherwise;
    char path[64];
    snprintf(path, sizeof path, "%.30s.%.30s", name, key);
    int type = lua_getfield(L, 2, key);
    if (type == LUA_TNUMBER) {
        si = mbl_units_bare(quantity, lua_tonumber(L, -1));
    } else if (type == LUA_TSTRING) {
        mbl_error err = {0};
        if (mbl_units_read(quantity, lua_tostring(L, -1), &si, &err) != MBL_OK) {
            mbl_error_under(&err, path);
            (void)mbl_host_raise(L, &err);
        }
    } else if (type != LUA_TNIL) {
        (void)mbl_host_wrong(L, path, "expected a %s such as %s", mbl_quantity_word(quantity),
                             mbl_quantity_example(quantity));
    }
    lua_pop(L, 1);
    if (!isfinite(si))
        (void)mbl_host_wrong(L, path, "expected a finite number");
    return si;
}

static double positive(lua_State *L, const char *name, const char *key, mbl_quantity quantity,
                       double otherwise)
{
    double si = option(L, name, key, quantity, otherwise);
    char path[64];
    snprintf(path, sizeof path, "%.30s.%.30s", name, key);
    if (si < 0)
        (void)mbl_host_wrong(L, path, "%g is below 0", si);
    return si;
}

static int boils_at(lua_State *L)
{
    static const char name[] = "boils_at";
    static const char *const known[] = {"water", "pressure", "altitude", NULL};
    mbl_fluid fluid;
    mbl_extract(&mbl_fluid_schema, self(L, &mbl_fluid_schema, name), &fluid);
    check_options(L, name, known);
    double water = positive(L, name, "water", MBL_Q_SHARE, mbl_fluid_water(&fluid));
    double gauge = option(L, name, "pressure", MBL_Q_PRESSURE, 0);
    double altitude = option(L, name, "altitude", MBL_Q_LENGTH, 0);
    double p = mbl_air_pressure(altitude) + gauge;
    lua_pushnumber(L, mbl_boiling_point(&fluid, water, p) - 273.15);
    return 1;
}

static int mass(lua_State *L)
{
    mbl_rotor rotor;
    mbl_extract(&mbl_rotor_schema, self(L, &mbl_rotor_schema, "mass"), &rotor);
    lua_pushnumber(L, rotor.ring_mass + rotor.hat_mass);
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
    const mbl_node *node = self(L, &mbl_rotor_schema, name);
    check_options(L, name, known);
    mbl_brake brake;
    mbl_extract(&mbl_brake_schema, NULL, &brake);
    mbl_extract(&mbl_rotor_schema, node, &brake.rotor);
    take_duct(L, &brake);
    brake.airflow = positive(L, name, "airflow", MBL_Q_SHARE, brake.airflow);
    mbl_ring ring = mbl_ring_of(&brake.rotor);
    mbl_surroundings at = {
        .brake = &brake,
        /* a tyre of 31 cm when nothing is said: it sets how fast the disc turns */
        .tyre_radius = positive(L, name, "tyre_radius", MBL_Q_LENGTH, 0.31),
        .ambient = option(L, name, "ambient", MBL_Q_LEVEL, 298.15),
        .p = mbl_air_pressure(option(L, name, "altitude", MBL_Q_LENGTH, 0)),
        .vanes = ring.channels};
    double speed = positive(L, name, "speed", MBL_Q_SPEED, 0);
    double T = option(L, name, "temperature", MBL_Q_LEVEL, 673.15);
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
    mbl_extract(&mbl_duct_schema, self(L, &mbl_duct_schema, name), &duct);
    check_options(L, name, known);
    double speed = positive(L, name, "speed", MBL_Q_SPEED, 0);
    double ambient = option(L, name, "ambient", MBL_Q_LEVEL, 298.15);
    mbl_air air =
        mbl_air_at(ambient, mbl_air_pressure(option(L, name, "altitude", MBL_Q_LENGTH, 0)));
    lua_pushnumber(L, mbl_duct_flow(&duct, speed, &air));
    return 1;
}

static int friction_at(lua_State *L)
{
    static const char name[] = "friction_at";
    static const char *const known[] = {"temperature", "speed", "pressure", NULL};
    mbl_pad pad;
    mbl_extract(&mbl_pad_schema, self(L, &mbl_pad_schema, name), &pad);
    check_options(L, name, known);
    double T = option(L, name, "temperature", MBL_Q_LEVEL, 573.15);
    double v = positive(L, name, "speed", MBL_Q_SPEED, 30);
    double p = positive(L, name, "pressure", MBL_Q_PRESSURE, 4e6);
    lua_pushnumber(L, mbl_friction_at(&pad, T, v, p));
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
};
const size_t mbl_answer_count = sizeof mbl_answers / sizeof mbl_answers[0];
