/* SPDX-License-Identifier: MIT */
#include "brake/pedal.h"

#include "brake/friction.h"
#include "matter/matter.h"

#include <math.h>

static bool is_tandem(const mbl_pedal *pedal)
{
    return !isnan(pedal->master.bore);
}

/* Area of the bore of an axle's circuit, m2. */
static double bore_area(const mbl_pedal *pedal, int axle)
{
    double pair = axle == 0 ? pedal->master.front : pedal->master.rear;
    double bore = is_tandem(pedal) ? pedal->master.bore : pair;
    return M_PI / 4 * bore * bore;
}

double mbl_pedal_balance(const mbl_pedal *pedal)
{
    if (!pedal->present)
        return NAN;
    if (is_tandem(pedal))
        return 1;
    return isnan(pedal->balance) ? 0.5 : pedal->balance;
}

mbl_distribution mbl_distribution_of(const mbl_pedal *pedal)
{
    mbl_distribution d = {.rear = 1, .knee = MBL_NO_KNEE, .slope = 1};
    if (!pedal->present)
        return d;
    if (!is_tandem(pedal)) {
        double front = mbl_pedal_balance(pedal);
        d.rear = (1 - front) * bore_area(pedal, 0) / (front * bore_area(pedal, 1));
    }
    if (pedal->distribution == MBL_DISTRIBUTION_VALVE) {
        d.knee = pedal->knee;
        d.slope = pedal->slope;
    }
    return d;
}

double mbl_rear_pressure(const mbl_distribution *d, double front)
{
    return d->rear * (fmin(front, d->knee) + d->slope * fmax(front - d->knee, 0));
}

/* Front pressure at which the rear circuit has pressure p; INFINITY where a valve never lets it. */
static double front_pressure(const mbl_distribution *d, double p)
{
    double front = p / d->rear;
    if (front <= d->knee)
        return front;
    return d->slope > 0 ? d->knee + (front - d->knee) / d->slope : INFINITY;
}

/* Force on the pedal's rod per effort on its pad. */
static double leverage(const mbl_pedal *pedal)
{
    return pedal->ratio * pedal->efficiency;
}

/* Most that the booster adds, N: its vacuum is at best the pressure of the air. */
static double most_assist(const mbl_pedal *pedal, double air)
{
    return pedal->booster.assist * air / MBL_ATMOSPHERE;
}

double mbl_pedal_pressure(const mbl_pedal *pedal, double effort, double air)
{
    double rod = effort * leverage(pedal);
    double master = fmin(pedal->booster.gain * rod, rod + most_assist(pedal, air));
    return mbl_pedal_balance(pedal) * master / bore_area(pedal, 0);
}

double mbl_pedal_effort(const mbl_pedal *pedal, double p, double air)
{
    if (!pedal->present)
        return NAN;
    double master = p * bore_area(pedal, 0) / mbl_pedal_balance(pedal);
    /* the booster's force is the lesser of two that rise, so the effort is the greater */
    double rod = fmax(master / pedal->booster.gain, master - most_assist(pedal, air));
    return rod / leverage(pedal);
}

double mbl_pedal_run_out(const mbl_pedal *pedal, double air)
{
    if (!pedal->present)
        return NAN;
    double adds = pedal->booster.gain - 1;
    return adds > 0 ? most_assist(pedal, air) / (adds * leverage(pedal)) : INFINITY;
}

/* What one axle takes, both wheels: at once (m3), and per pressure (m3/Pa). */
typedef struct axle {
    double gap, vapour;
    double pads, caliper, hoses, fluid;
} axle;

static axle axle_of(const mbl_car *car, int i, const mbl_travel_at *at)
{
    const double per = 1e7; /* Pa, what the compliances are stated for */
    const mbl_brake *brake = i == 0 ? &car->front : &car->rear;
    const mbl_pedal *pedal = &car->pedal;
    double area = mbl_caliper_area(&brake->caliper);
    double back = brake->caliper.rollback + (at->knocked_back ? pedal->knock_back : 0);
    return (axle){.gap = 4 * area * back,
                  .vapour = 2 * at->vapour[i],
                  .pads = 4 * area * brake->pad.squeeze / per,
                  .caliper = 2 * area * brake->caliper.opening / per,
                  .hoses = 2 * pedal->hose_swell / per,
                  .fluid = 0.5 * pedal->fluid_volume / car->fluid.bulk_modulus};
}

static double yields(const axle *a)
{
    return a->pads + a->caliper + a->hoses + a->fluid;
}

mbl_travel mbl_pedal_travel(const mbl_car *car, double p, const mbl_travel_at *at)
{
    const mbl_pedal *pedal = &car->pedal;
    if (!pedal->present)
        return (mbl_travel){{NAN, NAN}, NAN, NAN, NAN, NAN, NAN, NAN, {NAN, NAN}, NAN, NAN};
    mbl_distribution d = mbl_distribution_of(pedal);
    const double pressure[2] = {p, mbl_rear_pressure(&d, p)};
    mbl_travel t = {0};
    for (int i = 0; i < 2; i++) {
        axle a = axle_of(car, i, at);
        t.gap += a.gap;
        t.vapour += a.vapour;
        t.pads += a.pads * pressure[i];
        t.calipers += a.caliper * pressure[i];
        t.hoses += a.hoses * pressure[i];
        t.fluid += a.fluid * pressure[i];
        t.volume[i] = a.gap + a.vapour + yields(&a) * pressure[i];
        t.stroke[i] = pedal->master.free + t.volume[i] / bore_area(pedal, i);
    }
    double front = mbl_pedal_balance(pedal);
    double rod = is_tandem(pedal) ? t.stroke[0] + t.stroke[1]
                                  : front * t.stroke[0] + (1 - front) * t.stroke[1];
    t.pad = pedal->ratio * rod;
    t.used = fmax(t.stroke[0], t.stroke[1]) / pedal->master.stroke;
    return t;
}

/* Highest pressure in the circuit of an axle before it bottoms. */
static double circuit_bottoms(const mbl_car *car, int i, const mbl_travel_at *at)
{
    const mbl_pedal *pedal = &car->pedal;
    axle a = axle_of(car, i, at);
    double holds = bore_area(pedal, i) * (pedal->master.stroke - pedal->master.free);
    double room = holds - a.gap - a.vapour;
    if (room <= 0)
        return 0;
    double per = yields(&a);
    return per > 0 ? room / per : INFINITY;
}

double mbl_pedal_bottoms(const mbl_car *car, const mbl_travel_at *at)
{
    if (!car->pedal.present)
        return NAN;
    mbl_distribution d = mbl_distribution_of(&car->pedal);
    return fmin(circuit_bottoms(car, 0, at), front_pressure(&d, circuit_bottoms(car, 1, at)));
}
