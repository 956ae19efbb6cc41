/* SPDX-License-Identifier: MIT */
/* All combinations before any is driven: which fit, which drive alike, what each can rank at best.
 */
#include "study/shortlist_parts.h"

#include "study/packages.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* ---- combinations by number ---- */

static size_t first_of(const mbl_slot *slot)
{
    return slot->keep ? 0 : 1;
}

static size_t options_of(const mbl_slot *slot)
{
    return slot->n - first_of(slot);
}

size_t mbl_shortlist_count(const mbl_shortlist_ask *ask)
{
    size_t all = 1;
    for (size_t i = 0; i < ask->nslots; i++) {
        size_t n = options_of(&ask->slot[i]);
        if (n > 0 && all > SIZE_MAX / n)
            return SIZE_MAX;
        all *= n;
    }
    return all;
}

void mbl_shortlist_pick(const mbl_shortlist_ask *ask, size_t number, mbl_pick pick)
{
    memset(pick, 0, sizeof(mbl_pick));
    for (size_t i = ask->nslots; i-- > 0;) {
        size_t n = options_of(&ask->slot[i]);
        pick[i] = (unsigned)(first_of(&ask->slot[i]) + number % n);
        number /= n;
    }
}

static size_t number_of(const mbl_shortlist_ask *ask, const mbl_pick pick)
{
    size_t number = 0;
    for (size_t i = 0; i < ask->nslots; i++)
        number = number * options_of(&ask->slot[i]) + pick[i] - first_of(&ask->slot[i]);
    return number;
}

void mbl_shortlist_car(const mbl_shortlist_ask *ask, const mbl_pick pick, mbl_car *car)
{
    *car = ask->setup->car;
    for (size_t i = 0; i < ask->nslots; i++)
        if (pick[i] > 0)
            mbl_part_put(&ask->slot[i].option[pick[i]].part, car);
}

mbl_price mbl_shortlist_price(const mbl_shortlist_ask *ask, const mbl_pick pick)
{
    mbl_price sum = {0};
    for (size_t i = 0; i < ask->nslots; i++) {
        if (pick[i] == 0)
            continue;
        mbl_price one = mbl_part_price(&ask->slot[i].option[pick[i]].part, &ask->setup->event);
        sum.parts += one.parts;
        sum.labour += one.labour;
    }
    return sum;
}

mbl_misfit mbl_shortlist_misfit(const mbl_shortlist_ask *ask, const mbl_pick pick,
                                const mbl_car *car)
{
    mbl_fits_of fits;
    for (int k = 0; k < MBL_SLOT_KINDS; k++)
        fits.of[k] = &ask->there[k];
    for (size_t i = 0; i < ask->nslots; i++)
        fits.of[ask->slot[i].kind] = &ask->slot[i].option[pick[i]].fits;
    return mbl_fits_check(car, &fits, &ask->room);
}

double mbl_shortlist_first(const mbl_shortlist_ask *ask, const mbl_pick pick, const mbl_car *car)
{
    mbl_price price = mbl_shortlist_price(ask, pick);
    mbl_life_result unworn[MBL_AXLES] = {0};
    switch (ask->by) {
    case MBL_BY_MASS:
        return mbl_weights_of(car).unsprung;
    case MBL_BY_EVENT:
        unworn[0].rotor_sessions = unworn[1].rotor_sessions = INFINITY;
        return mbl_bill_of(car, &ask->setup->event, unworn).event;
    case MBL_BY_LABOUR:
        return (double)price.labour;
    case MBL_BY_COST:
        break;
    }
    return (double)(price.parts + price.labour);
}

/* ---- classes ---- */

static void free_classes(const mbl_alloc *alloc, mbl_classes *c, size_t n)
{
    mbl_free(alloc, c->of, n, sizeof *c->of);
    mbl_free(alloc, c->order, n, sizeof *c->order);
    mbl_free(alloc, c->start, n + 1, sizeof *c->start);
    *c = (mbl_classes){0};
}

static mbl_status sort_into_classes(const mbl_alloc *alloc, const mbl_slot *slot, mbl_classes *out,
                                    mbl_error *err)
{
    mbl_classes c = {.of = mbl_new(alloc, slot->n, sizeof *c.of),
                     .order = mbl_new(alloc, slot->n, sizeof *c.order),
                     .start = mbl_new(alloc, slot->n + 1, sizeof *c.start)};
    *out = c;
    if (c.of == NULL || c.order == NULL || c.start == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory for %zu options", slot->n);
    for (size_t i = first_of(slot); i < slot->n; i++) {
        size_t like = first_of(slot);
        while (like < i && !mbl_part_drives_alike(&slot->option[like].part, &slot->option[i].part))
            like++;
        c.of[i] = like < i ? c.of[like] : c.n++;
    }
    size_t at = 0;
    for (size_t k = 0; k < c.n; k++) {
        c.start[k] = at;
        for (size_t i = first_of(slot); i < slot->n; i++)
            if (c.of[i] == k)
                c.order[at++] = i;
    }
    c.start[c.n] = at;
    *out = c;
    return MBL_OK;
}

static size_t unit_of(const mbl_picks *p, const mbl_pick pick)
{
    size_t unit = 0;
    for (size_t i = 0; i < p->ask->nslots; i++)
        unit = unit * p->classes[i].n + p->classes[i].of[pick[i]];
    return unit;
}

void mbl_members_begin(mbl_members *m, const mbl_picks *picks, size_t unit)
{
    *m = (mbl_members){.picks = picks, .more = true};
    for (size_t i = picks->ask->nslots; i-- > 0;) {
        m->class[i] = unit % picks->classes[i].n;
        m->at[i] = picks->classes[i].start[m->class[i]];
        unit /= picks->classes[i].n;
    }
}

bool mbl_members_next(mbl_members *m, mbl_pick pick, size_t *number)
{
    const mbl_shortlist_ask *ask = m->picks->ask;
    if (!m->more)
        return false;
    memset(pick, 0, sizeof(mbl_pick));
    for (size_t i = 0; i < ask->nslots; i++)
        pick[i] = (unsigned)m->picks->classes[i].order[m->at[i]];
    *number = number_of(ask, pick);
    m->more = false;
    for (size_t i = ask->nslots; i-- > 0 && !m->more;) {
        const mbl_classes *c = &m->picks->classes[i];
        m->more = ++m->at[i] < c->start[m->class[i] + 1];
        if (!m->more)
            m->at[i] = c->start[m->class[i]];
    }
    return true;
}

/* ---- the panic stop, which no heat changes ---- */

/* Is a car ruled out by its check of panic pressure? That needs pedal, limits and ratings alone, so
 * it is read off a run that was never driven. */
static bool panics(mbl_run *idle, const mbl_car *car, mbl_verdict need)
{
    static const mbl_passing none[MBL_AXLES * MBL_WATCHES_AXLE];
    if (!car->pedal.present)
        return false;
    idle->setup.car = *car;
    mbl_package_pedal(idle);
    mbl_checks_judge_run(idle, none);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_check *c = mbl_run_check_of(idle, MBL_CHECK_PANIC, axle);
        if (c != NULL && c->verdict > need)
            return true;
    }
    return false;
}

/* What the answer depends on: masters and calipers. Remembers the last one. */
typedef struct panic_memory {
    mbl_run *idle;
    bool known, is;
    unsigned pick[MBL_SLOT_KINDS];
} panic_memory;

static bool bears_on_panic(mbl_slot_kind kind)
{
    return kind == MBL_SLOT_MASTER || kind == MBL_SLOT_FRONT_CALIPER ||
           kind == MBL_SLOT_REAR_CALIPER;
}

static bool panics_as_before(const mbl_shortlist_ask *ask, panic_memory *m, const mbl_pick pick,
                             const mbl_car *car)
{
    bool same = m->known;
    for (size_t i = 0; i < ask->nslots; i++)
        same = same && (!bears_on_panic(ask->slot[i].kind) || m->pick[i] == pick[i]);
    if (same)
        return m->is;
    m->known = true;
    m->is = panics(m->idle, car, ask->need);
    memcpy(m->pick, pick, sizeof(mbl_pick));
    return m->is;
}

/* ---- all of them ---- */

static int by_best(const void *a, const void *b)
{
    const mbl_unit *x = a;
    const mbl_unit *y = b;
    if (x->best != y->best)
        return x->best < y->best ? -1 : 1;
    return x->number < y->number ? -1 : x->number > y->number;
}

/* Puts those parts of the next combination that differ from the one before; `car` follows. */
static void go_on(const mbl_shortlist_ask *ask, mbl_pick pick, mbl_car *car)
{
    for (size_t i = ask->nslots; i-- > 0;) {
        const mbl_slot *slot = &ask->slot[i];
        pick[i]++;
        bool carry = pick[i] == slot->n;
        if (carry)
            pick[i] = (unsigned)first_of(slot);
        mbl_part_put(&slot->option[pick[i]].part, car);
        if (!carry)
            return;
    }
}

static void look_at_each(mbl_picks *p, mbl_shortlist *list, mbl_run *idle, mbl_car *car)
{
    const mbl_shortlist_ask *ask = p->ask;
    panic_memory panic = {.idle = idle};
    mbl_pick pick;
    for (size_t u = 0; u < p->units; u++)
        p->unit[u] = (mbl_unit){INFINITY, u};
    mbl_shortlist_pick(ask, 0, pick);
    mbl_shortlist_car(ask, pick, car);
    for (size_t i = 0; i < p->all; i++) {
        mbl_misfit misfit = mbl_shortlist_misfit(ask, pick, car);
        if (misfit != MBL_FITS) {
            p->state[i] = (unsigned char)misfit;
            list->misfit[misfit]++;
        } else if (panics_as_before(ask, &panic, pick, car)) {
            p->state[i] = MBL_STATE_PANIC;
            list->panic++;
        } else {
            mbl_unit *unit = &p->unit[unit_of(p, pick)];
            unit->best = fmin(unit->best, mbl_shortlist_first(ask, pick, car));
        }
        if (i + 1 < p->all)
            go_on(ask, pick, car);
    }
    qsort(p->unit, p->units, sizeof *p->unit, by_best);
    while (p->open < p->units && p->unit[p->open].best < INFINITY)
        p->open++;
}

mbl_status mbl_picks_make(const mbl_shortlist_ask *ask, mbl_shortlist *list, mbl_picks *out,
                          mbl_error *err)
{
    const mbl_alloc *alloc = ask->alloc;
    *out = (mbl_picks){.ask = ask, .all = mbl_shortlist_count(ask), .units = 1};
    if (out->all > MBL_SHORTLIST_MOST)
        return mbl_fail(err, MBL_INPUT,
                        "there are more than %d combinations: give fewer slots or options",
                        MBL_SHORTLIST_MOST);
    for (size_t i = 0; i < ask->nslots; i++) {
        MBL_TRY(sort_into_classes(alloc, &ask->slot[i], &out->classes[i], err));
        out->units *= out->classes[i].n;
    }
    out->state = mbl_new(alloc, out->all, sizeof *out->state);
    out->unit = mbl_new(alloc, out->units, sizeof *out->unit);
    mbl_run *idle = mbl_new(alloc, 1, sizeof *idle);
    mbl_car *car = mbl_new(alloc, 1, sizeof *car);
    mbl_status status = MBL_OK;
    if (out->state == NULL || out->unit == NULL || idle == NULL || car == NULL) {
        status = mbl_fail(err, MBL_MEMORY, "out of memory for %zu combinations", out->all);
    } else {
        idle->setup = *ask->setup;
        look_at_each(out, list, idle, car);
    }
    mbl_free(alloc, idle, 1, sizeof *idle);
    mbl_free(alloc, car, 1, sizeof *car);
    list->all = out->all;
    return status;
}

void mbl_picks_free(mbl_picks *p)
{
    const mbl_alloc *alloc = p->ask->alloc;
    for (size_t i = 0; i < p->ask->nslots; i++)
        free_classes(alloc, &p->classes[i], p->ask->slot[i].n);
    mbl_free(alloc, p->state, p->all, sizeof *p->state);
    mbl_free(alloc, p->unit, p->units, sizeof *p->unit);
}
