/* SPDX-License-Identifier: MIT */
/* What a car answers by itself: one stop, and its balance at one moment. */
#include "host/answer.h"
#include "host/definition.h"
#include "host/options.h"
#include "host/result.h"

#include <math.h>

/* A car at a moment, as the options say it. */
typedef struct moment {
    mbl_car car;
    mbl_instant at;
    double air; /* Pa */
    bool grips; /* tyre.grip is given */
} moment;

static void read_car(lua_State *L, const char *name, const char *const *known, moment *m)
{
    mbl_extract(&mbl_car_schema, mbl_options_self(L, &mbl_car_schema, name), &m->car);
    mbl_options_check(L, name, known);
    m->grips = !isnan(m->car.tyre.grip);
}

/* Friction as mbl_instant wants it: the factor over pressure comes with the pressure. */
static double friction(const mbl_pad *pad, double T, double v)
{
    return mbl_friction_at(pad, T, v, 0) / mbl_effect_at(&pad->pressure_effect, 0);
}

/* Mass, air and pads; `rubs` is the speed (m/s) that friction is taken at. */
static void read_moment(lua_State *L, const char *name, double rubs, moment *m)
{
    const mbl_car *c = &m->car;
    double T = mbl_option(L, name, "temperature", MBL_Q_LEVEL, 573.15);
    double fuel = mbl_option_positive(L, name, "fuel", MBL_Q_MASS, c->fuel.start);
    double ambient = mbl_option(L, name, "ambient", MBL_Q_LEVEL, 288.15);
    m->air = mbl_air_pressure(mbl_option(L, name, "altitude", MBL_Q_LENGTH, 0));
    m->at = (mbl_instant){
        .mass = c->mass + c->load.passenger + c->load.luggage + c->load.ballast + fuel,
        .density = mbl_air_at(ambient, m->air).density,
        .mu = {friction(&c->front.pad, T, rubs), friction(&c->rear.pad, T, rubs)}};
}

static mbl_lock lock_at(const moment *m, double speed)
{
    mbl_instant at = m->at;
    at.speed = speed;
    return mbl_first_lock(&m->car, &at);
}

static void set(lua_State *L, const char *name, double value)
{
    lua_pushnumber(L, value);
    lua_setfield(L, -2, name);
}

static void set_axle(lua_State *L, const char *name, int axle)
{
    lua_pushstring(L, mbl_axle_word(axle));
    lua_setfield(L, -2, name);
}

static void push_stop(lua_State *L, const moment *m, const mbl_stop *stop, int locks)
{
    static const char *const optional[] = {"effort", "travel", "first_to_lock", NULL};
    lua_newtable(L);
    set(L, "kinetic_energy", stop->kinetic_energy);
    set(L, "brake_energy", stop->brake_energy);
    set(L, "distance", stop->distance);
    set(L, "time", stop->time);
    lua_newtable(L);
    for (int axle = 0; axle < MBL_AXLES; axle++)
        set(L, mbl_axle_word(axle), stop->pressure[axle]);
    mbl_result_seal(L, "stop.pressure", NULL);
    lua_setfield(L, -2, "pressure");
    if (m->car.pedal.present) {
        mbl_travel_at nothing = {0};
        set(L, "effort", mbl_pedal_effort(&m->car.pedal, stop->pressure[0], m->air));
        set(L, "travel", mbl_pedal_travel(&m->car, stop->pressure[0], &nothing).pad);
    }
    if (m->grips)
        set_axle(L, "first_to_lock", locks);
    mbl_result_seal(L, "stop", optional);
}

int mbl_answer_stop(lua_State *L)
{
    static const char name[] = "stop";
    static const char *const known[] = {"from", "to",      "deceleration", "temperature",
                                        "fuel", "ambient", "altitude",     NULL};
    moment m;
    read_car(L, name, known, &m);
    double from = mbl_option_positive(L, name, "from", MBL_Q_SPEED, NAN);
    double to = mbl_option_positive(L, name, "to", MBL_Q_SPEED, 0);
    if (from <= to)
        return mbl_host_wrong(L, "stop.to", "%g m/s is not below the %g m/s it starts from", to,
                              from);
    read_moment(L, name, 0.5 * (from + to), &m);
    double otherwise = NAN;
    int locks = 0;
    if (m.grips) {
        /* downforce and drag go with the speed: whatever is less of both ends holds all the way */
        mbl_lock first = lock_at(&m, from);
        mbl_lock last = lock_at(&m, to);
        const mbl_lock *least = first.deceleration < last.deceleration ? &first : &last;
        otherwise = least->deceleration;
        locks = least->axle;
    }
    double a = mbl_option(L, name, "deceleration", MBL_Q_ACCELERATION, otherwise);
    if (a <= 0)
        return mbl_host_wrong(L, "stop.deceleration", "%g m/s2 stops no car", a);
    mbl_stop stop = mbl_stop_of(&m.car, &m.at, from, to, a);
    push_stop(L, &m, &stop, locks);
    return 1;
}

int mbl_answer_balance(lua_State *L)
{
    static const char name[] = "balance";
    static const char *const known[] = {"deceleration", "speed",    "temperature", "fuel",
                                        "ambient",      "altitude", NULL};
    static const char *const optional[] = {
        "first_to_lock", "lock_deceleration", "grip", "bite", "turns", NULL};
    moment m;
    read_car(L, name, known, &m);
    double a = mbl_option_positive(L, name, "deceleration", MBL_Q_ACCELERATION, 9.80665);
    double v = mbl_option_positive(L, name, "speed", MBL_Q_SPEED, 30);
    read_moment(L, name, v, &m);
    m.at.speed = v;
    double turns = mbl_turns_to(&m.car, &m.at, a, 0.03);
    lua_newtable(L);
    set(L, "front", mbl_actual_front(&m.car, &m.at, mbl_pressure_for(&m.car, &m.at, a)));
    set(L, "ideal", mbl_ideal_front(&m.car, &m.at, a));
    if (!isnan(turns))
        set(L, "turns", turns);
    if (m.grips) {
        mbl_lock lock = lock_at(&m, v);
        set_axle(L, "first_to_lock", lock.axle);
        set(L, "lock_deceleration", lock.deceleration);
        set(L, "grip", mbl_grip_limit(&m.car, &m.at));
    }
    if (m.grips && m.car.pedal.present)
        set(L, "bite", mbl_bite(&m.car, &m.at, m.air));
    mbl_result_seal(L, "balance", optional);
    return 1;
}
