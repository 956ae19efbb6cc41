/* SPDX-License-Identifier: MIT */
#include "drive/route.h"

#include <math.h>
#include <string.h>

/* ---- road ---- */

static mbl_vehicle vehicle_of(const mbl_car *c, double fuel, double air_density)
{
    return (mbl_vehicle){.mass = mbl_car_mass(c, fuel),
                         .rotating = c->rotating,
                         .drag_area = c->aero.drag_area,
                         .rolling = c->rolling,
                         .engine_braking = c->engine_braking,
                         .air_density = air_density};
}

mbl_parking mbl_road_parking(mbl_mode mode)
{
    switch (mode) {
    case MBL_MODE_DEFAULT:
        return (mbl_parking){1.25, 20.0};
    case MBL_MODE_FINE:
        return (mbl_parking){1.10, 5.0};
    case MBL_MODE_SCREENING:
        return (mbl_parking){1.8, 60.0};
    case MBL_MODE_REFERENCE:
        break;
    }
    return mbl_parking_close;
}

mbl_status mbl_road_of(const mbl_alloc *alloc, const mbl_case *setup, double step,
                       const mbl_model *model, mbl_road *out, mbl_error *err)
{
    double p = mbl_air_pressure(setup->stint.altitude);
    double density = mbl_air_at(setup->stint.ambient, p).density;
    const mbl_car *by = setup->course.of.present ? &setup->course.of : &setup->car;
    memset(out, 0, sizeof *out); /* it is digested with its gaps */
    out->trace = setup->course.trace;
    out->driver = vehicle_of(by, by->fuel.start, density);
    out->car = vehicle_of(&setup->car, 0, density);
    out->full = out->car.mass + setup->car.fuel.start;
    out->mode = MBL_MODE_REFERENCE;
    out->step = step;
    if (step <= 0) {
        if (mbl_model_macro(model) > 0)
            out->mode = (mbl_mode)setup->mode;
        out->step = MBL_TIMELINE_SAMPLE;
    }
    out->parking = mbl_road_parking(out->mode);
    if (mbl_road_strides(out)) {
        mbl_kin_of(model, &out->kin);
        out->step = mbl_timeline_sample(out->mode, &out->kin, out->full);
    }
    double scatter = 0;
    return mbl_trace_pressure_scale(alloc, out->trace, &out->driver, &out->pressure_scale, &scatter,
                                    err);
}

double mbl_route_burn(double fuel, double per_lap, const mbl_leg *leg)
{
    /* a logged stop is a stretch of the trace in which the car stands */
    bool drives = leg->kind == MBL_LEG_LAP && leg->phase != MBL_PHASE_PARK;
    return drives ? fmax(fuel - per_lap, 0.0) : fuel;
}

/* ---- route ---- */

/* An earlier leg that was cut for the same stretch and mass; i itself when there is none. */
static size_t twin(const mbl_route *r, size_t i, double mass)
{
    for (size_t k = 0; k < i; k++) {
        if (r->owned[k] != NULL && r->leg[k].mass == mass &&
            mbl_leg_same(&r->plan.leg[k], &r->plan.leg[i]))
            return k;
    }
    return i;
}

/* The arrays of a surveyed leg, copied into room of the route's own. */
static mbl_status own(mbl_route *r, size_t i, mbl_error *err)
{
    mbl_route_leg *leg = &r->leg[i];
    size_t n = leg->n;
    size_t bytes = leg->stride != NULL ? n * sizeof *leg->stride : (3 * n + 2) * sizeof(double);
    r->owned[i] = mbl_new(r->alloc, 1, bytes);
    if (r->owned[i] == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for a leg of %zu steps", n);
    r->bytes[i] = bytes;
    if (leg->stride != NULL) {
        memcpy(r->owned[i], leg->stride, bytes);
        leg->stride = r->owned[i];
        return MBL_OK;
    }
    double *at = r->owned[i];
    memcpy(at, leg->time, (n + 1) * sizeof *at);
    memcpy(at + n + 1, leg->speed, (n + 1) * sizeof *at);
    memcpy(at + 2 * n + 2, leg->power, n * sizeof *at);
    leg->time = at;
    leg->speed = at + n + 1;
    leg->power = at + 2 * n + 2;
    return MBL_OK;
}

static mbl_status survey_all(mbl_route *r, mbl_error *err)
{
    mbl_survey *survey = NULL;
    double fuel = r->fuel;
    MBL_TRY(mbl_survey_make(r->alloc, &r->road, &survey, err));
    mbl_status status = MBL_OK;
    for (size_t i = 0; i < r->plan.n && status == MBL_OK; i++) {
        const mbl_leg *leg = &r->plan.leg[i];
        double mass = r->road.car.mass + fuel;
        size_t k = twin(r, i, mass);
        if (k < i) {
            r->leg[i] = r->leg[k];
            r->leg[i].leg = *leg;
        } else {
            status = mbl_survey_leg(survey, leg, mass, &r->leg[i], err);
            if (status == MBL_OK)
                status = own(r, i, err);
        }
        fuel = mbl_route_burn(fuel, r->fuel_per_lap, leg);
    }
    mbl_survey_free(survey);
    return status;
}

static mbl_status fill(mbl_route *r, const mbl_case *setup, mbl_error *err)
{
    MBL_TRY(mbl_plan_make(r->alloc, &setup->stint, setup->course.hot_lap, r->road.trace, &r->plan,
                          err));
    r->leg = mbl_new(r->alloc, r->plan.n, sizeof *r->leg);
    r->owned = mbl_new(r->alloc, r->plan.n, sizeof *r->owned);
    r->bytes = mbl_new(r->alloc, r->plan.n, sizeof *r->bytes);
    if (r->leg == NULL || r->owned == NULL || r->bytes == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory planning a stint of %zu legs", r->plan.n);
    return survey_all(r, err);
}

mbl_status mbl_route_make(const mbl_alloc *alloc, const mbl_case *setup, const mbl_road *road,
                          mbl_route **out, mbl_error *err)
{
    mbl_route *r = mbl_new(alloc, 1, sizeof *r);
    if (r == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory planning a stint");
    r->alloc = alloc;
    r->refs = 1;
    r->road = *road;
    r->plan.alloc = alloc;
    r->fuel = setup->car.fuel.start;
    r->fuel_per_lap = setup->car.fuel.per_lap;
    mbl_status status = fill(r, setup, err);
    if (status != MBL_OK) {
        mbl_route_drop(r);
        return status;
    }
    *out = r;
    return MBL_OK;
}

mbl_route *mbl_route_keep(mbl_route *route)
{
    route->refs++;
    return route;
}

void mbl_route_drop(mbl_route *r)
{
    if (r == NULL || --r->refs > 0)
        return;
    for (size_t i = 0; r->owned != NULL && r->bytes != NULL && i < r->plan.n; i++)
        mbl_free(r->alloc, r->owned[i], 1, r->bytes[i]);
    mbl_free(r->alloc, r->owned, r->plan.n, sizeof *r->owned);
    mbl_free(r->alloc, r->bytes, r->plan.n, sizeof *r->bytes);
    mbl_free(r->alloc, r->leg, r->plan.n, sizeof *r->leg);
    mbl_plan_free(&r->plan);
    mbl_free(r->alloc, r, 1, sizeof *r);
}

static void add_vehicle(mbl_digest *d, const mbl_vehicle *v)
{
    const double numbers[] = {v->mass,    v->rotating,       v->drag_area,
                              v->rolling, v->engine_braking, v->air_density};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        mbl_digest_number(d, numbers[i]);
}

mbl_digest mbl_route_digest(const mbl_case *setup, const mbl_road *road)
{
    const mbl_stint *s = &setup->stint;
    mbl_digest d;
    mbl_digest_start(&d);
    mbl_digest_count(&d, road->trace->digest.a);
    mbl_digest_count(&d, road->trace->digest.b);
    add_vehicle(&d, &road->driver);
    add_vehicle(&d, &road->car);
    const double numbers[] = {road->pressure_scale,
                              road->mode,
                              road->step,
                              road->parking.growth,
                              road->parking.most,
                              setup->course.hot_lap,
                              setup->car.fuel.start,
                              setup->car.fuel.per_lap,
                              s->out,
                              s->hot,
                              s->cool,
                              s->park,
                              s->logged,
                              s->pit_speed,
                              s->pace.out,
                              s->pace.hot,
                              s->pace.traffic,
                              s->pace.cool,
                              (double)s->phases.n};
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++)
        mbl_digest_number(&d, numbers[i]);
    for (size_t i = 0; i < s->phases.n; i++) {
        const mbl_phase *p = &s->phases.v[i];
        mbl_digest_number(&d, p->kind);
        mbl_digest_number(&d, p->laps);
        mbl_digest_number(&d, p->time);
        mbl_digest_number(&d, p->pace);
    }
    mbl_digest_add(&d, &road->kin, sizeof road->kin);
    return d;
}
