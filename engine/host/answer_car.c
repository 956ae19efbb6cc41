/* SPDX-License-Identifier: MIT */
/* What a car answers by itself: one stop, and its balance at one moment. */
#include "host/answer.h"
#include "host/options.h"
#include "host/result_put.h"

#include <math.h>

/* A car at a moment, as the options say it. */
typedef struct moment {
    mbl_car car;
    mbl_instant at;
    double air; /* Pa */
    bool grips; /* tyre.grip is given */
} moment;

/* What stop and balance both take. */
typedef struct setting {
    double temperature, fuel, ambient, altitude;
} setting;

#define SETTING_ROWS                                                                               \
    OPTION_TEMPERATURE(in.temperature, 300, "temperature of the pads"),                            \
        NUMBER("fuel", in.fuel, MBL_INFERRED, MASS, 0, 200, NAN, "fuel in the tank", ""),          \
        OPTION_AMBIENT(in.ambient, 15), OPTION_ALTITUDE(in.altitude)

/* Friction as mbl_instant wants it: the factor over pressure comes with the pressure. */
static double friction(const mbl_pad *pad, double T, double v)
{
    return mbl_friction_at(pad, T, v, 0) / mbl_effect_at(&pad->pressure_effect, 0);
}

/* Mass, air and pads of m->car; `rubs` is the speed (m/s) that friction is taken at. */
static void read_moment(const setting *in, double rubs, moment *m)
{
    const mbl_car *c = &m->car;
    double fuel = isnan(in->fuel) ? c->fuel.start : in->fuel;
    m->grips = !isnan(c->tyre.grip);
    m->air = mbl_air_pressure(in->altitude);
    m->at = (mbl_instant){.mass = mbl_car_mass(c, fuel),
                          .density = mbl_air_at(in->ambient, m->air).density,
                          .mu = {friction(&c->front.pad, in->temperature, rubs),
                                 friction(&c->rear.pad, in->temperature, rubs)}};
}

static mbl_lock lock_at(const moment *m, double speed)
{
    mbl_instant at = m->at;
    at.speed = speed;
    return mbl_first_lock(&m->car, &at);
}

static void push_stop(lua_State *L, const moment *m, const mbl_stop *stop, int locks)
{
    lua_newtable(L);
    mbl_result_number(L, "kinetic_energy", stop->kinetic_energy);
    mbl_result_number(L, "brake_energy", stop->brake_energy);
    mbl_result_number(L, "distance", stop->distance);
    mbl_result_number(L, "time", stop->time);
    lua_newtable(L);
    for (int axle = 0; axle < MBL_AXLES; axle++)
        mbl_result_number(L, mbl_axle_word(axle), stop->pressure[axle]);
    mbl_result_seal_as(L, "stop.pressure", &mbl_class_stop_pressure);
    lua_setfield(L, -2, "pressure");
    if (m->car.pedal.present) {
        mbl_travel_at nothing = {0};
        mbl_result_number(L, "effort", mbl_pedal_effort(&m->car.pedal, stop->pressure[0], m->air));
        mbl_result_number(L, "travel", mbl_pedal_travel(&m->car, stop->pressure[0], &nothing).pad);
    }
    if (m->grips)
        mbl_result_text(L, "first_to_lock", mbl_axle_word(locks));
    mbl_result_seal_as(L, "stop", &mbl_class_stop);
}

/* ---- stop ---- */

typedef struct stop_options {
    setting in;
    double from, to, deceleration;
} stop_options;

#define T stop_options
static const mbl_field stop_fields[] = {
    OPTION_SPEED("from", from, MBL_REQUIRED, NAN, "speed it starts from, such as \"180 km/h\""),
    OPTION_SPEED("to", to, MBL_DEFAULT, 0, "speed it ends at"),
    NUMBER("deceleration", deceleration, MBL_INFERRED, ACCELERATION, 0.1, 60, NAN,
           "how hard; as hard as no wheel locks when tyre.grip is known", ""),
    SETTING_ROWS,
};
#undef T

static mbl_status stop_rules(const void *filled, mbl_error *err)
{
    const stop_options *o = filled;
    if (o->to < o->from)
        return MBL_OK;
    (void)mbl_fail(err, MBL_INPUT, "%g m/s is not below the %g m/s it starts from", o->to, o->from);
    mbl_error_under(err, "to");
    return MBL_INPUT;
}

SCHEMA(mbl_stop_schema, "stop", stop_options, stop_fields, stop_rules, "Options of car:stop.");

/* Downforce and drag go with the speed: whatever is less of both ends holds all the way. */
static mbl_lock hold_all_the_way(const moment *m, double from, double to)
{
    mbl_lock first = lock_at(m, from);
    mbl_lock last = lock_at(m, to);
    return first.deceleration < last.deceleration ? first : last;
}

int mbl_answer_stop(lua_State *L)
{
    stop_options o;
    moment m;
    mbl_options_take(L, &mbl_car_schema, &m.car, &mbl_stop_schema, &o);
    read_moment(&o.in, 0.5 * (o.from + o.to), &m);
    mbl_lock lock = {.deceleration = NAN};
    if (m.grips)
        lock = hold_all_the_way(&m, o.from, o.to);
    double a = isnan(o.deceleration) ? lock.deceleration : o.deceleration;
    if (isnan(a))
        return mbl_host_wrong(L, "stop.deceleration",
                              "missing: how hard, such as %s, or tyre.grip of the car",
                              mbl_quantity_example(MBL_Q_ACCELERATION));
    mbl_stop stop = mbl_stop_of(&m.car, &m.at, o.from, o.to, a);
    push_stop(L, &m, &stop, lock.axle);
    return 1;
}

/* ---- balance ---- */

typedef struct balance_options {
    setting in;
    double deceleration, speed;
} balance_options;

#define T balance_options
static const mbl_field balance_fields[] = {
    NUMBER("deceleration", deceleration, MBL_DEFAULT, ACCELERATION, 0.1, 60, 9.80665, "how hard",
           ""),
    OPTION_SPEED("speed", speed, MBL_DEFAULT, 30, "speed of the car"),
    SETTING_ROWS,
};
#undef T
SCHEMA(mbl_balance_schema, "balance", balance_options, balance_fields, NULL,
       "Options of car:balance.");

int mbl_answer_balance(lua_State *L)
{
    balance_options o;
    moment m;
    mbl_options_take(L, &mbl_car_schema, &m.car, &mbl_balance_schema, &o);
    read_moment(&o.in, o.speed, &m);
    m.at.speed = o.speed;
    double a = o.deceleration;
    double turns = mbl_turns_to(&m.car, &m.at, a, 0.03);
    lua_newtable(L);
    mbl_result_number(L, "front",
                      mbl_actual_front(&m.car, &m.at, mbl_pressure_for(&m.car, &m.at, a)));
    mbl_result_number(L, "ideal", mbl_ideal_front(&m.car, &m.at, a));
    if (!isnan(turns))
        mbl_result_number(L, "turns", turns);
    if (m.grips) {
        mbl_lock lock = lock_at(&m, o.speed);
        mbl_result_text(L, "first_to_lock", mbl_axle_word(lock.axle));
        mbl_result_number(L, "lock_deceleration", lock.deceleration);
        mbl_result_number(L, "grip", mbl_grip_limit(&m.car, &m.at));
    }
    if (m.grips && m.car.pedal.present)
        mbl_result_number(L, "bite", mbl_bite(&m.car, &m.at, m.air));
    mbl_result_seal_as(L, "balance", &mbl_class_car_balance);
    return 1;
}
