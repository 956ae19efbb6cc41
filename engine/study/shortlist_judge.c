/* SPDX-License-Identifier: MIT */
/* One combination as it came out of a drive, and how combinations rank. */
#include "study/shortlist_parts.h"

#include "study/packages.h"

#include <math.h>
#include <string.h>

const char *mbl_shortlist_by_word(mbl_shortlist_by by)
{
    static const char *const words[] = {"cost", "event", "mass", "labour"};
    return words[by];
}

double mbl_price_sum(const mbl_price *price)
{
    return 1e-6 * (double)(price->parts + price->labour);
}

void mbl_choice_read(const mbl_shortlist_ask *ask, const mbl_pick pick, size_t number,
                     const mbl_run *run, mbl_choice *out)
{
    *out = (mbl_choice){.number = number,
                        .price = mbl_shortlist_price(ask, pick),
                        .event = run->bill.event,
                        .mass = run->weights.unsprung,
                        .verdict = run->verdict,
                        .tightest = run->checks[0],
                        .closest = mbl_check_rank(&run->checks[0]),
                        .up = SIZE_MAX};
    memcpy(out->pick, pick, sizeof(mbl_pick));
}

static bool same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool same_bores(const mbl_pedal *a, const mbl_pedal *b)
{
    return same(a->master.bore, b->master.bore) && same(a->master.front, b->master.front) &&
           same(a->master.rear, b->master.rear);
}

void mbl_choice_rejudge(mbl_run *run, const mbl_car *car)
{
    /* when a limit was passed is told of no combination, only by how much */
    mbl_passing none[MBL_WATCHES];
    for (int i = 0; i < MBL_WATCHES; i++)
        none[i] = (mbl_passing){.parked = NAN};
    const mbl_life_result life[MBL_AXLES] = {run->axle[0].life, run->axle[1].life};
    /* of what drives alike the masters alone tell in the balance, and that is the most work of all
     */
    bool same_masters = same_bores(&run->setup.car.pedal, &car->pedal);
    run->setup.car = *car;
    mbl_package_pedal(run);
    if (!same_masters)
        mbl_package_balance(run);
    run->weights = mbl_weights_of(car);
    run->bill = mbl_bill_of(car, &run->setup.event, life);
    mbl_checks_judge_run(run, none);
}

/* ---- rank ---- */

typedef struct key {
    double of[4];
} key;

static key key_of(mbl_shortlist_by by, const mbl_choice *c)
{
    double cost = (double)(c->price.parts + c->price.labour);
    switch (by) {
    case MBL_BY_EVENT:
        return (key){{c->event, cost, c->mass, 0}};
    case MBL_BY_MASS:
        return (key){{c->mass, cost, c->event, 0}};
    case MBL_BY_LABOUR:
        return (key){{(double)c->price.labour, cost, c->event, c->mass}};
    case MBL_BY_COST:
        break;
    }
    return (key){{cost, c->event, c->mass, 0}};
}

double mbl_choice_first(mbl_shortlist_by by, const mbl_choice *choice)
{
    return key_of(by, choice).of[0];
}

bool mbl_choice_before(mbl_shortlist_by by, const mbl_choice *a, const mbl_choice *b)
{
    key x = key_of(by, a);
    key y = key_of(by, b);
    for (int i = 0; i < 4; i++)
        if (x.of[i] != y.of[i])
            return x.of[i] < y.of[i];
    return a->number < b->number;
}

bool mbl_choice_nearer(mbl_shortlist_by by, const mbl_choice *a, const mbl_choice *b)
{
    if (a->verdict != b->verdict)
        return a->verdict < b->verdict;
    if (a->closest != b->closest)
        return a->closest > b->closest;
    return mbl_choice_before(by, a, b);
}
