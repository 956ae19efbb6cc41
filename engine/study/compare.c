/* SPDX-License-Identifier: MIT */
#include "study/compare.h"

#include "study/packages.h"

#include <math.h>
#include <stdio.h>

static void add(mbl_comparison *c, const char *what, mbl_quantity quantity, double before,
                double after, bool relative)
{
    if (c->n == MBL_DIFFERENCES_MOST || (isnan(before) && isnan(after)))
        return;
    mbl_difference *d = &c->row[c->n++];
    *d = (mbl_difference){
        .quantity = quantity, .before = before, .after = after, .relative = relative};
    snprintf(d->what, sizeof d->what, "%s", what);
}

/* One car at one and the same moment: 1 g from 100 km/h with pads at 300 C. */
typedef struct probe {
    double pressure, effort, travel, front;
} probe;

/* Its friction there, without the factor over pressure: see mbl_instant. */
static double friction_of(const mbl_pad *pad, double speed)
{
    return mbl_friction_at(pad, 573.15, speed, 0) / mbl_effect_at(&pad->pressure_effect, 0);
}

static probe probe_of(const mbl_run *run)
{
    const mbl_car *car = &run->setup.car;
    double air = mbl_package_air(&run->setup);
    mbl_instant at = {.mass = mbl_car_mass(car, car->fuel.start),
                      .speed = 100 / 3.6,
                      .density = mbl_air_at(run->setup.stint.ambient, air).density};
    at.mu[0] = friction_of(&car->front.pad, at.speed);
    at.mu[1] = friction_of(&car->rear.pad, at.speed);
    double p = mbl_pressure_for(car, &at, 9.80665);
    probe out = {.pressure = p, .effort = NAN, .travel = NAN};
    out.front = mbl_actual_front(car, &at, p);
    if (car->pedal.present) {
        mbl_travel_at nothing = {0};
        out.effort = mbl_pedal_effort(&car->pedal, p, air);
        out.travel = mbl_pedal_travel(car, p, &nothing).pad;
    }
    return out;
}

static bool same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static void compare_pedals(const mbl_run *before, const mbl_run *after, mbl_comparison *out)
{
    probe b = probe_of(before);
    probe a = probe_of(after);
    out->travel = a.travel / b.travel - 1;
    out->pressure = a.pressure / b.pressure - 1;
    out->effort = a.effort / b.effort - 1;
    out->front_share = a.front - b.front;
    const mbl_pedal *pb = &before->setup.car.pedal;
    const mbl_pedal *pa = &after->setup.car.pedal;
    out->master_unchanged = pb->present && pa->present && same(pb->master.bore, pa->master.bore) &&
                            same(pb->master.front, pa->master.front) &&
                            same(pb->master.rear, pa->master.rear);
    add(out, "line pressure at 1 g", MBL_Q_PRESSURE, b.pressure, a.pressure, true);
    add(out, "pedal effort at 1 g", MBL_Q_FORCE, b.effort, a.effort, true);
    add(out, "pedal travel at 1 g", MBL_Q_LENGTH, b.travel, a.travel, true);
    add(out, "front share of the braking", MBL_Q_SHARE, b.front, a.front, false);
}

/* The highest of each part, and its margin, where both have the check. */
static void compare_checks(const mbl_run *before, const mbl_run *after, mbl_comparison *out)
{
    for (int axle = MBL_AXLES - 1; axle >= MBL_WHOLE_CAR; axle--) {
        /* front, rear, then the car */
        int of = axle == MBL_WHOLE_CAR ? MBL_WHOLE_CAR : MBL_AXLES - 1 - axle;
        for (int k = 0; k < MBL_CHECK_FOUND; k++) {
            const mbl_check *b = mbl_run_check_of(before, (mbl_check_kind)k, of);
            const mbl_check *a = mbl_run_check_of(after, (mbl_check_kind)k, of);
            if (a == NULL || b == NULL)
                continue;
            char what[48];
            snprintf(what, sizeof what, "%s%s%s, margin",
                     of == MBL_WHOLE_CAR ? "" : mbl_axle_word(of), of == MBL_WHOLE_CAR ? "" : " ",
                     mbl_check_word((mbl_check_kind)k));
            mbl_quantity q = mbl_check_quantity((mbl_check_kind)k);
            add(out, what, q == MBL_Q_LEVEL ? MBL_Q_RISE : q, b->margin, a->margin, false);
        }
    }
}

static void compare_fluids(const mbl_run *before, const mbl_run *after, mbl_comparison *out)
{
    add(out, "fluid's wet point", MBL_Q_LEVEL, before->axle[0].wet, after->axle[0].wet, false);
    double b = mbl_run_bleed_months(before);
    double a = mbl_run_bleed_months(after);
    if (isfinite(b) && isfinite(a))
        add(out, "months to the next bleed", MBL_Q_COUNT, b, a, false);
    add(out, "fluid, a litre", MBL_Q_MONEY, before->setup.car.fluid.cost,
        after->setup.car.fluid.cost, false);
}

static void compare_weight_and_money(const mbl_run *before, const mbl_run *after,
                                     mbl_comparison *out)
{
    const mbl_weights *wb = &before->weights;
    const mbl_weights *wa = &after->weights;
    add(out, "mass of all brakes", MBL_Q_MASS, wb->unsprung, wa->unsprung, false);
    add(out, "mass their turning adds", MBL_Q_MASS, wb->equivalent, wa->equivalent, false);
    add(out, "front pads, sessions left", MBL_Q_COUNT, before->axle[0].life.pad_sessions,
        after->axle[0].life.pad_sessions, false);
    add(out, "rear pads, sessions left", MBL_Q_COUNT, before->axle[1].life.pad_sessions,
        after->axle[1].life.pad_sessions, false);
    add(out, "parts", MBL_Q_MONEY, before->bill.parts, after->bill.parts, false);
    add(out, "labour to fit them", MBL_Q_MONEY, before->bill.labour, after->bill.labour, false);
    add(out, "used up by the event", MBL_Q_MONEY, before->bill.event, after->bill.event, false);
}

void mbl_compare(const mbl_run *before, const mbl_run *after, mbl_comparison *out)
{
    *out = (mbl_comparison){0};
    compare_pedals(before, after, out);
    compare_checks(before, after, out);
    compare_fluids(before, after, out);
    compare_weight_and_money(before, after, out);
}
