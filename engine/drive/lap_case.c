/* SPDX-License-Identifier: MIT */
#include "drive/lap_case.h"

#include <math.h>

static double said(double x, double otherwise)
{
    return isnan(x) ? otherwise : x;
}

mbl_driver mbl_driver_of(const mbl_course *course)
{
    return (mbl_driver){.corner = said(course->driver.corner, 0.95),
                        .brake = said(course->driver.brake, 0.9),
                        .power = said(course->driver.power, 1),
                        .early = said(course->driver.early, 0)};
}

double mbl_lap_pressure(const mbl_car *car, double altitude)
{
    if (!car->pedal.present)
        return (double)NAN;
    double leg =
        mbl_pedal_pressure(&car->pedal, car->pedal.effort_limit, mbl_air_pressure(altitude));
    return fmin(leg, mbl_pedal_bottoms(car, &(mbl_travel_at){0}));
}

mbl_lap_ask mbl_lap_ask_of(const mbl_case *setup, double fuel)
{
    double p = mbl_air_pressure(setup->stint.altitude);
    return (mbl_lap_ask){.car = &setup->car,
                         .layout = setup->course.layout,
                         .driver = mbl_driver_of(&setup->course),
                         .mass = mbl_car_mass(&setup->car, fuel),
                         .density = mbl_air_at(setup->stint.ambient, p).density};
}

static void add_curve(mbl_digest *d, const mbl_curve *c)
{
    mbl_digest_count(d, c->n);
    for (size_t i = 0; i < c->n; i++) {
        mbl_digest_number(d, c->x[i]);
        mbl_digest_number(d, c->y[i]);
    }
}

static void add_brakes(mbl_digest *d, const mbl_case *setup, const mbl_car *c)
{
    const mbl_distribution rear = mbl_distribution_of(&c->pedal);
    mbl_digest_number(d, mbl_lap_pressure(c, setup->stint.altitude));
    mbl_digest_number(d, rear.rear);
    mbl_digest_number(d, rear.knee);
    mbl_digest_number(d, rear.slope);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_brake *b = mbl_car_brake(c, axle);
        mbl_digest_number(d, mbl_axle_gain(b, c->tyre.radius));
        mbl_digest_number(d, mbl_friction_at(&b->pad, MBL_LAP_PADS, MBL_LAP_SPEED, 0));
        add_curve(d, &b->pad.pressure_effect);
    }
}

mbl_digest mbl_lap_digest(const mbl_case *setup, const mbl_car *c)
{
    const mbl_layout *layout = setup->course.layout;
    const mbl_driver driver = mbl_driver_of(&setup->course);
    const double numbers[] = {driver.corner,
                              driver.brake,
                              driver.power,
                              driver.early,
                              setup->stint.ambient,
                              setup->stint.altitude,
                              mbl_car_mass(c, c->fuel.start),
                              c->mass, /* grip is stated for its loads */
                              c->rotating,
                              c->rolling,
                              c->engine_braking,
                              c->aero.drag_area,
                              c->aero.downforce_area,
                              c->aero.front_share,
                              c->tyre.radius,
                              c->tyre.grip,
                              c->tyre.load_sensitivity,
                              c->front_weight,
                              c->cg_height,
                              c->wheelbase,
                              c->abs,
                              c->power,
                              c->gearing.driven,
                              c->gearing.final,
                              c->gearing.efficiency,
                              (double)c->gearing.ratios.n};
    mbl_digest d;
    mbl_digest_start(&d);
    mbl_digest_count(&d, layout->digest.a);
    mbl_digest_count(&d, layout->digest.b);
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        mbl_digest_number(&d, numbers[i]);
    add_curve(&d, &c->gearing.torque);
    for (size_t i = 0; i < c->gearing.ratios.n; i++)
        mbl_digest_number(&d, c->gearing.ratios.v[i]);
    add_brakes(&d, setup, c);
    return d;
}

mbl_status mbl_lap_of(const mbl_alloc *alloc, const mbl_case *setup, double fuel, double T,
                      bool limited, mbl_path **out, mbl_error *err)
{
    const double start = 0;
    double mu[1][2];
    mbl_lap_ask ask = mbl_lap_ask_of(setup, fuel);
    for (int axle = 0; axle < MBL_AXLES; axle++)
        mu[0][axle] = mbl_friction_at(&mbl_car_brake(&setup->car, axle)->pad, T, MBL_LAP_SPEED, 0);
    double most = mbl_lap_pressure(&setup->car, setup->stint.altitude);
    if (!limited && most < MBL_LAP_UNLIMITED)
        most = MBL_LAP_UNLIMITED;
    if (!isnan(most))
        ask.brakes =
            (mbl_lap_brakes){.n = 1, .s = &start, .mu = (const double(*)[2])mu, .pressure = most};
    return mbl_lap_drive(alloc, &ask, out, err);
}

mbl_driven_lap mbl_lap_driven(const mbl_path *p, size_t nodes, double lost)
{
    return (mbl_driven_lap){.n = nodes, .t = p->t, .v = p->v, .grade = p->grade, .lost = lost};
}

mbl_status mbl_lap_trace(const mbl_alloc *alloc, const mbl_path *path, mbl_trace **out,
                         mbl_error *err)
{
    mbl_driven_lap lap = mbl_lap_driven(path, path->n, 0);
    return mbl_trace_driven(alloc, 1, &lap, false, out, err);
}
