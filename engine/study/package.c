/* SPDX-License-Identifier: MIT */
#include "study/packages.h"

#include <math.h>

double mbl_package_air(const mbl_case *setup)
{
    return mbl_air_pressure(setup->stint.altitude);
}

/* The leg with the hardest application of the stint, or NULL when the brakes were not used. */
static const mbl_leg_result *hardest_leg(const mbl_run *run)
{
    const mbl_leg_result *hardest = NULL;
    for (size_t i = 0; i < run->nlegs; i++) {
        const mbl_leg_result *r = &run->legs[i];
        double most = hardest != NULL ? hardest->report.hardest.pressure : 0.0;
        if (r->report.hardest.pressure > most)
            hardest = r;
    }
    return hardest;
}

/* Vapour of the fluid that boiled before this leg ended takes travel; it is there from the first
 * boil on, whatever the fluid does later, until the brakes are bled. */
static void add_vapour(const mbl_run *run, mbl_travel_at *at)
{
    for (int axle = 0; axle < MBL_AXLES; axle++)
        at->vapour[axle] = run->axle[axle].vapour;
}

static void rate(const mbl_run *run, mbl_pedal_result *out)
{
    const mbl_case *setup = &run->setup;
    mbl_distribution d = mbl_distribution_of(&setup->car.pedal);
    double front =
        setup->car.pedal.present
            ? mbl_pedal_pressure(&setup->car.pedal, setup->limits.panic, mbl_package_air(setup))
            : (double)NAN;
    out->panic[0] = front;
    out->panic[1] = mbl_rear_pressure(&d, front);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        double rating = mbl_car_brake(&setup->car, axle)->caliper.rating;
        /* hoses and masters bear what the limits say, whatever the caliper does */
        out->rating[axle] = fmin(isnan(rating) ? INFINITY : rating, setup->limits.pressure);
    }
}

void mbl_package_pedal(mbl_run *run)
{
    const mbl_car *car = &run->setup.car;
    double air = mbl_package_air(&run->setup);
    mbl_pedal_result *out = &run->pedal;
    const mbl_leg_result *leg = hardest_leg(run);
    *out = (mbl_pedal_result){.effort = NAN,
                              .run_out = NAN,
                              .reaches = MBL_NO_CAP,
                              .knock_back = NAN,
                              .with_vapour = NAN,
                              .travel = {.pad = NAN, .used = NAN}};
    if (leg != NULL) {
        out->hardest = leg->report.hardest;
        out->lap = leg->leg.lap;
    }
    mbl_distribution d = mbl_distribution_of(&car->pedal);
    double p = out->hardest.pressure;
    out->pressure[0] = p;
    out->pressure[1] = mbl_rear_pressure(&d, p);
    rate(run, out);
    if (!car->pedal.present)
        return;
    /* by pedal.knock_back, which is 0 where the user says nothing */
    mbl_travel_at at = {.knocked_back = true};
    const mbl_travel_at never = {0};
    out->effort = mbl_pedal_effort(&car->pedal, p, air);
    out->run_out = mbl_pedal_run_out(&car->pedal, air);
    out->reaches = fmin(mbl_pedal_pressure(&car->pedal, car->pedal.effort_limit, air),
                        mbl_pedal_bottoms(car, &at));
    out->travel = mbl_pedal_travel(car, p, &at);
    mbl_car kerbed = *car;
    if (!(car->pedal.knock_back > 0))
        kerbed.pedal.knock_back = MBL_KNOCK_BACK;
    out->knock_back = mbl_pedal_travel(&kerbed, p, &at).pad - mbl_pedal_travel(car, p, &never).pad;
    /* judged apart: fluid that boils has a check of its own, and takes any pedal to the floor */
    add_vapour(run, &at);
    out->with_vapour = mbl_pedal_travel(car, p, &at).used;
}

/* The friction of a pad with its own pressure effect taken out again: see mbl_instant. */
static double without_pressure(const mbl_pad *pad, double mu, double own)
{
    return mu / mbl_effect_at(&pad->pressure_effect, own);
}

static mbl_instant instant_of(const mbl_run *run, const mbl_leg_report *r, double density)
{
    const mbl_car *car = &run->setup.car;
    mbl_distribution d = mbl_distribution_of(&car->pedal);
    double p = r->hardest.pressure;
    mbl_instant at = {.mass = r->mass, .speed = r->hardest.speed, .density = density};
    at.mu[0] = without_pressure(&car->front.pad, r->hardest.mu[0], p);
    at.mu[1] = without_pressure(&car->rear.pad, r->hardest.mu[1], mbl_rear_pressure(&d, p));
    return at;
}

/* The least the front is ahead of ideal at the first lock, from dry down to half the grip. */
static void look_ahead(mbl_balance_result *out, const mbl_car *car, const mbl_instant *at, int lap)
{
    static const double wetness[] = {1.0, 0.75, 0.5};
    mbl_car on = *car;
    for (size_t i = 0; i < sizeof wetness / sizeof wetness[0]; i++) {
        on.tyre.grip = wetness[i] * car->tyre.grip;
        mbl_lock lock = mbl_first_lock(&on, at);
        double ahead = lock.front - lock.ideal;
        on.abs = true; /* both axles at their grip: where they would lock together */
        double turns = mbl_turns_to(&on, at, mbl_grip_limit(&on, at), 0.03);
        on.abs = car->abs;
        if (!isnan(turns) && (isnan(out->turns) || turns > out->turns))
            out->turns = turns;
        if (ahead >= out->ahead)
            continue;
        out->ahead = ahead;
        out->ahead_grip = wetness[i];
        out->ahead_lap = lap;
        out->ahead_mu[0] = at->mu[0];
        out->ahead_mu[1] = at->mu[1];
    }
}

/* The same pads as cold as the air, before anything has warmed: the first stop of the day. */
static mbl_instant cold_instant(const mbl_run *run, const mbl_instant *like)
{
    const mbl_car *car = &run->setup.car;
    double T = isnan(run->setup.stint.start) ? run->setup.stint.ambient : run->setup.stint.start;
    mbl_instant at = *like;
    const mbl_pad *pads[MBL_AXLES] = {&car->front.pad, &car->rear.pad};
    for (int axle = 0; axle < MBL_AXLES; axle++)
        at.mu[axle] = without_pressure(pads[axle], mbl_friction_at(pads[axle], T, at.speed, 0), 0);
    return at;
}

/* One hot lap: its hardest application, at its speed and slow. */
static void balance_of_lap(const mbl_run *run, const mbl_leg_result *r, double density, double air,
                           mbl_balance_result *out)
{
    const mbl_car *car = &run->setup.car;
    mbl_instant at = instant_of(run, &r->report, density);
    if (r->report.hardest_deceleration > out->asked) {
        out->asked = r->report.hardest_deceleration;
        out->lap = r->leg.lap;
    }
    if (!out->known)
        return;
    double grip = mbl_grip_limit(car, &at);
    if (grip < out->grip) {
        out->grip = grip;
        out->lock = mbl_first_lock(car, &at);
    }
    out->bite = fmin(out->bite, mbl_bite(car, &at, air));
    look_ahead(out, car, &at, r->leg.lap);
    at.speed *= 0.5; /* less downforce, less drag */
    look_ahead(out, car, &at, r->leg.lap);
}

/* Is any lap hot? Without one every lap counts. */
static bool any_hot(const mbl_run *run)
{
    for (size_t i = 0; i < run->nlegs; i++) {
        if (run->legs[i].leg.phase == MBL_PHASE_HOT && run->legs[i].report.hardest.pressure > 0)
            return true;
    }
    return false;
}

void mbl_package_balance(mbl_run *run)
{
    const mbl_case *setup = &run->setup;
    const mbl_car *car = &setup->car;
    double air = mbl_package_air(setup);
    double density = mbl_air_at(setup->stint.ambient, air).density;
    mbl_balance_result *out = &run->balance;
    *out = (mbl_balance_result){.known = !isnan(car->tyre.grip),
                                .grip = INFINITY,
                                .ahead = INFINITY,
                                .bite = 1,
                                .front = NAN,
                                .ideal = NAN,
                                .turns = NAN};
    const mbl_leg_result *hardest = hardest_leg(run);
    if (hardest == NULL) {
        out->known = false;
        return;
    }
    mbl_instant at = instant_of(run, &hardest->report, density);
    bool hot = any_hot(run);
    for (size_t i = 0; i < run->nlegs; i++) {
        const mbl_leg_result *r = &run->legs[i];
        bool counts = !hot || r->leg.phase == MBL_PHASE_HOT;
        if (counts && r->leg.kind == MBL_LEG_LAP && r->report.hardest.pressure > 0)
            balance_of_lap(run, r, density, air, out);
    }
    out->front = mbl_actual_front(car, &at, hardest->report.hardest.pressure);
    out->ideal = mbl_ideal_front(car, &at, out->asked);
    if (!out->known) {
        out->turns = mbl_turns_to(car, &at, out->asked, 0.03);
        return;
    }
    mbl_instant cold = cold_instant(run, &at);
    look_ahead(out, car, &cold, 0);
}

/* How often a store of `had` lasts when each time takes `each`; INFINITY when it is not used. */
static double times(double had, double each)
{
    return each > 0 ? fmax(had, 0) / each : INFINITY;
}

/* Sets used by an event that takes `need`, the first of which has `had` left and a new one `full`.
 */
static int sets(double need, double had, double full)
{
    if (need <= had || full <= 0)
        return 1;
    double more = ceil((need - had) / full);
    return 1 + (int)fmin(more, 1000.0);
}

void mbl_package_life(mbl_run *run, int axle, double stress_rise, double cycles, double crack)
{
    const mbl_brake *b = mbl_car_brake(&run->setup.car, axle);
    double sessions = run->setup.event.sessions;
    mbl_life_result *out = &run->axle[axle].life;
    double now = mbl_pad_thickness(&b->pad);
    double worn = run->axle[axle].worn / (2 * b->pad.area);
    double useful = mbl_pad_worn_at(&b->pad);
    double thin = mbl_rotor_wear_depth(&b->rotor, &b->pad, run->axle[axle].work);
    *out = (mbl_life_result){.pad_now = now,
                             .pad_session = worn,
                             .pad_end = fmax(now - worn, 0),
                             .pad_event = fmax(now - sessions * worn, -MBL_PAD_SHORT),
                             .pad_sessions = times(now - useful, worn),
                             .pad_sets =
                                 sets(sessions * worn, now - useful, b->pad.thickness - useful),
                             .rotor_session = thin,
                             .rotor_event = b->rotor.thickness - sessions * thin,
                             .rotor_sessions = INFINITY,
                             .rotor_sets = 1,
                             .cycles = cycles,
                             .crack = crack,
                             .stress = mbl_skin_stress(stress_rise)};
    if (isnan(b->rotor.minimum))
        return;
    double spare = b->rotor.thickness - b->rotor.minimum;
    out->rotor_sessions = times(spare, thin);
    out->rotor_sets = sets(sessions * thin, spare, spare);
}
