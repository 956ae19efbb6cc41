/* SPDX-License-Identifier: MIT */
#include "study/gauge.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* Where a number is: at a place in the run, `stride` further for the rear, or worked out. */
typedef struct source {
    const char *name; /* without the axle */
    mbl_quantity quantity;
    mbl_better better;
    bool usual;
    const char *about;
    size_t offset, stride;
    double (*of)(const mbl_run *run, int axle); /* NULL: what is at the place */
} source;

#define OF_AXLE(member)                                                                            \
    .offset = offsetof(mbl_run, axle) + offsetof(mbl_axle_result, member),                         \
    .stride = sizeof(mbl_axle_result)
#define OF_PAIR(member)                                                                            \
    .offset = offsetof(mbl_run, member), .stride = sizeof(((mbl_run *)NULL)->member[0])
#define OF_CAR(member) .offset = offsetof(mbl_run, member)

/* ---- what is not a number of the run as it stands ---- */

static double closest(const mbl_run *run, int axle)
{
    (void)axle;
    return run->nchecks > 0 ? mbl_check_rank(&run->checks[0]) : NAN;
}

static double widest(const mbl_run *run, int axle)
{
    return run->gradient[axle].T;
}

static double pad_sets(const mbl_run *run, int axle)
{
    return run->axle[axle].life.pad_sets;
}

static double wheel(const mbl_weights *w, int axle)
{
    return w->rotor[axle] + w->pads[axle] + w->caliper[axle] + w->duct[axle];
}

static double front_wheel(const mbl_run *run, int axle)
{
    (void)axle;
    return wheel(&run->weights, 0);
}

static double rear_wheel(const mbl_run *run, int axle)
{
    (void)axle;
    return wheel(&run->weights, 1);
}

static double cost(const mbl_run *run, int axle)
{
    (void)axle;
    return run->bill.parts + run->bill.labour;
}

static double unpriced(const mbl_run *run, int axle)
{
    (void)axle;
    return run->bill.unpriced;
}

static double reserve(const mbl_run *run, int axle)
{
    (void)axle;
    return 1 - run->pedal.travel.used;
}

/* The rest of the balance holds only where tyre.grip was given. */
static double with_grip(const mbl_run *run, double number)
{
    return run->balance.known ? number : NAN;
}

static double ahead(const mbl_run *run, int axle)
{
    (void)axle;
    return with_grip(run, run->balance.ahead);
}

static double bite(const mbl_run *run, int axle)
{
    (void)axle;
    return with_grip(run, run->balance.bite);
}

static double grip(const mbl_run *run, int axle)
{
    (void)axle;
    return with_grip(run, run->balance.grip);
}

static double first_lock(const mbl_run *run, int axle)
{
    (void)axle;
    return with_grip(run, run->balance.lock.deceleration);
}

/* ---- the tables ---- */

#define MORE    MBL_BETTER_MORE
#define LESS    MBL_BETTER_LESS
#define NEITHER MBL_BETTER_NEITHER

/* Told first: what a run comes down to. */
static const source tightest = {.name = "closest",
                                .quantity = MBL_Q_RATIO,
                                .better = MORE,
                                .usual = true,
                                .about = "margin of the tightest check, in bands",
                                .of = closest};

static const source of_axle[] = {
    {"fluid.margin", MBL_Q_RISE, MORE, true, "below the boiling point that judges",
     OF_AXLE(margin)},
    {"rotor.core.peak", MBL_Q_LEVEL, LESS, true, "hottest rotor core", OF_AXLE(peak[MBL_CORE].T)},
    {"caliper.peak", MBL_Q_LEVEL, LESS, true, "hottest caliper body", OF_AXLE(peak[MBL_CALIPER].T)},
    {"pad.peak", MBL_Q_LEVEL, LESS, true, "hottest pad face", OF_AXLE(peak[MBL_PAD_FACE].T)},
    {"fluid.peak", MBL_Q_LEVEL, LESS, false, "hottest fluid", OF_AXLE(peak[MBL_FLUID].T)},
    {"fluid.margin_wet", MBL_Q_RISE, MORE, false, "below the wet boiling point",
     OF_AXLE(margin_wet)},
    {"fluid.margin_now", MBL_Q_RISE, MORE, false, "below the boiling point as it is now",
     OF_AXLE(margin_now)},
    {"fluid.vapour", MBL_Q_VOLUME, LESS, false, "boiled off in one caliper", OF_AXLE(vapour)},
    {"rotor.face.peak", MBL_Q_LEVEL, LESS, false, "hottest rubbed face", OF_AXLE(peak[MBL_FACE].T)},
    {"rotor.hat.peak", MBL_Q_LEVEL, LESS, false, "hottest rotor hat", OF_AXLE(peak[MBL_HAT].T)},
    {"rotor.gradient", MBL_Q_RISE, LESS, false, "widest a rubbed face stood above its core",
     .of = widest},
    {"rotor.left_event", MBL_Q_LENGTH, MORE, false, "thickness after the event",
     OF_AXLE(life.rotor_event)},
    {"rotor.sessions", MBL_Q_COUNT, MORE, false, "sessions until the minimum thickness",
     OF_AXLE(life.rotor_sessions)},
    {"rotor.cycles", MBL_Q_COUNT, LESS, false, "stops that strain the skin", OF_AXLE(life.cycles)},
    {"rotor.crack", MBL_Q_RATIO, LESS, false, "crack indicator: ranks, no life",
     OF_AXLE(life.crack)},
    {"rotor.stress", MBL_Q_PRESSURE, LESS, false, "of a held skin at the widest gradient",
     OF_AXLE(life.stress)},
    {"pad.left", MBL_Q_LENGTH, MORE, false, "friction material after the stint",
     OF_AXLE(life.pad_end)},
    {"pad.left_event", MBL_Q_LENGTH, MORE, false, "friction material after the event",
     OF_AXLE(life.pad_event)},
    {"pad.sessions", MBL_Q_COUNT, MORE, false, "sessions a set lasts from now",
     OF_AXLE(life.pad_sessions)},
    {"pad.sets", MBL_Q_COUNT, LESS, false, "sets for the event", .of = pad_sets},
    {"duct_flow", MBL_Q_RATIO, MORE, false, "kg/s of air to one wheel at top speed",
     OF_AXLE(duct_flow)},
};

static const source of_car[] = {
    {"mass.unsprung", MBL_Q_MASS, LESS, true, "brakes of four wheels", OF_CAR(weights.unsprung)},
    {"mass.equivalent", MBL_Q_MASS, LESS, false, "what the rotors' turning adds",
     OF_CAR(weights.equivalent)},
    {"mass.front", MBL_Q_MASS, LESS, false, "brake of one front wheel", .of = front_wheel},
    {"mass.rear", MBL_Q_MASS, LESS, false, "brake of one rear wheel", .of = rear_wheel},
    {"cost", MBL_Q_MONEY, LESS, true, "parts and the labour to fit them", .of = cost},
    {"cost.parts", MBL_Q_MONEY, LESS, false, "parts", OF_CAR(bill.parts)},
    {"cost.labour", MBL_Q_MONEY, LESS, false, "labour to fit the parts", OF_CAR(bill.labour)},
    {"cost.event", MBL_Q_MONEY, LESS, true, "used up by the event", OF_CAR(bill.event)},
    {"cost.unpriced", MBL_Q_COUNT, LESS, false, "parts without a price, which cost nothing here",
     .of = unpriced},
    {"pedal.pressure", MBL_Q_PRESSURE, NEITHER, false, "front line pressure, hardest stop",
     OF_CAR(pedal.pressure[0])},
    {"pedal.rear_pressure", MBL_Q_PRESSURE, NEITHER, false, "rear line pressure, hardest stop",
     OF_CAR(pedal.pressure[1])},
    {"pedal.effort", MBL_Q_FORCE, LESS, false, "at the hardest stop", OF_CAR(pedal.effort)},
    {"pedal.travel", MBL_Q_LENGTH, LESS, false, "at the pad, hardest stop",
     OF_CAR(pedal.travel.pad)},
    {"pedal.used", MBL_Q_SHARE, LESS, false, "of a master's stroke, hardest stop",
     OF_CAR(pedal.travel.used)},
    {"pedal.reserve", MBL_Q_SHARE, MORE, false, "of a master's stroke, hardest stop",
     .of = reserve},
    {"pedal.with_vapour", MBL_Q_SHARE, LESS, false, "stroke used with the vapour of boiled fluid",
     OF_CAR(pedal.with_vapour)},
    {"pedal.shortfall", MBL_Q_ENERGY, LESS, false, "braking left undone", OF_CAR(pedal.shortfall)},
    {"balance.front", MBL_Q_SHARE, NEITHER, false, "front share of the braking, hardest stop",
     OF_CAR(balance.front)},
    {"balance.ideal", MBL_Q_SHARE, NEITHER, false, "the ideal front share there",
     OF_CAR(balance.ideal)},
    {"balance.ahead", MBL_Q_SHARE, NEITHER, false,
     "front share above the ideal one at the first lock", .of = ahead},
    {"balance.bite", MBL_Q_SHARE, MORE, false, "what a stab of the pedal gets", .of = bite},
    {"balance.asked", MBL_Q_ACCELERATION, NEITHER, false, "highest deceleration of the stint",
     OF_CAR(balance.asked)},
    {"balance.grip", MBL_Q_ACCELERATION, MORE, false, "deceleration to be had", .of = grip},
    {"balance.lock_deceleration", MBL_Q_ACCELERATION, MORE, false, "at the first lock",
     .of = first_lock},
    {"energy", MBL_Q_ENERGY, NEITHER, false, "braking energy of the stint", OF_CAR(ledger.energy)},
    {"hot_energy", MBL_Q_ENERGY, NEITHER, false, "braking energy of the last hot lap",
     OF_CAR(hot_energy)},
    {"duration", MBL_Q_TIME, NEITHER, false, "of the stint", OF_CAR(duration)},
    {"residual", MBL_Q_RATIO, LESS, false, "share of the heat not accounted for",
     OF_CAR(ledger.residual)},
};

enum {
    NAXLE = sizeof of_axle / sizeof of_axle[0],
    NCAR = sizeof of_car / sizeof of_car[0],
    COUNT = 1 + MBL_AXLES * NAXLE + NCAR
};

/* The source behind a number; *axle is MBL_WHOLE_CAR for one of the car. */
static const source *source_at(size_t i, int *axle)
{
    *axle = MBL_WHOLE_CAR;
    if (i == 0)
        return &tightest;
    if (i >= 1 + MBL_AXLES * NAXLE)
        return &of_car[i - 1 - MBL_AXLES * NAXLE];
    *axle = (int)((i - 1) / NAXLE);
    return &of_axle[(i - 1) % NAXLE];
}

size_t mbl_gauge_count(void)
{
    return COUNT;
}

mbl_gauge mbl_gauge_at(size_t i)
{
    int axle;
    const source *s = source_at(i, &axle);
    mbl_gauge out = {
        .quantity = s->quantity, .better = s->better, .usual = s->usual, .about = s->about};
    bool whole = axle == MBL_WHOLE_CAR;
    snprintf(out.name, sizeof out.name, "%s%s%s", whole ? "" : mbl_axle_word(axle),
             whole ? "" : ".", s->name);
    return out;
}

size_t mbl_gauge_find(const char *name)
{
    for (size_t i = 0; i < COUNT; i++)
        if (strcmp(mbl_gauge_at(i).name, name) == 0)
            return i;
    return COUNT;
}

double mbl_gauge_read(size_t i, const mbl_run *run)
{
    int axle;
    const source *s = source_at(i, &axle);
    double si;
    if (s->of != NULL) {
        si = s->of(run, axle);
    } else {
        size_t at = s->offset + (axle > 0 ? s->stride : 0);
        memcpy(&si, (const char *)run + at, sizeof si);
    }
    return s->quantity == MBL_Q_LEVEL ? si - 273.15 : si;
}
