/* SPDX-License-Identifier: MIT */
#include "study/assumptions.h"

#include "study/batch.h"
#include "study/checks.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/* The rest of the path when it starts with `head`, else NULL. */
static const char *after(const char *path, const char *head)
{
    size_t n = strlen(head);
    return strncmp(path, head, n) == 0 ? path + n : NULL;
}

static double of_brake(const mbl_brake *b, const char *key)
{
    const struct {
        const char *key;
        double value;
    } of[] = {
        {"rotor.ring_height", mbl_rotor_ring_height(&b->rotor)},
        {"rotor.ring_mass", mbl_rotor_ring_mass(&b->rotor)},
        {"rotor.vanes", mbl_rotor_vanes(&b->rotor)},
        {"rotor.pumping", mbl_rotor_pumping(&b->rotor)},
        {"pad.thickness_now",
         isnan(b->pad.thickness_now) ? b->pad.thickness : b->pad.thickness_now},
        {"effective_radius", mbl_effective_radius(b)},
        {"duct.recovery",
         isnan(b->duct.recovery) ? mbl_inlet_recovery(b->duct.inlet) : b->duct.recovery},
        {"duct.bears", mbl_duct_bears(&b->duct)},
        {"pad.worn_at", mbl_pad_worn_at(&b->pad)},
        {"pad.wear_onset", mbl_pad_wear_onset(&b->pad)},
    };
    for (size_t i = 0; i < sizeof of / sizeof of[0]; i++) {
        if (strcmp(key, of[i].key) == 0)
            return of[i].value;
    }
    return NAN;
}

static double of_car(const mbl_car *c, const char *key)
{
    const char *rest = after(key, "front.");
    if (rest != NULL)
        return of_brake(&c->front, rest);
    rest = after(key, "rear.");
    if (rest != NULL)
        return of_brake(&c->rear, rest);
    if (strcmp(key, "fluid.dry") == 0)
        return mbl_fluid_dry(&c->fluid);
    if (strcmp(key, "fluid.wet") == 0)
        return mbl_fluid_wet(&c->fluid);
    if (strcmp(key, "fluid.water") == 0)
        return mbl_fluid_water(&c->fluid);
    if (strcmp(key, "pedal.balance") == 0 && c->pedal.distribution == MBL_DISTRIBUTION_BAR)
        return mbl_pedal_balance(&c->pedal);
    return NAN;
}

/* The pace of a phase that names none: key is "3].pace". */
static double of_phase(const mbl_stint *s, const char *key)
{
    unsigned long i = 0;
    int end = 0;
    if (sscanf(key, "%lu].pace%n", &i, &end) != 1 || key[end] != '\0' || i < 1 || i > s->phases.n)
        return NAN;
    return mbl_plan_pace(s, (mbl_phase_kind)s->phases.v[i - 1].kind);
}

double mbl_inferred_value(const mbl_case *c, const char *path)
{
    const char *key = after(path, "car.");
    if (key != NULL)
        return of_car(&c->car, key);
    key = after(path, "course.of.");
    if (key != NULL)
        return of_car(&c->course.of, key);
    key = after(path, "stint[");
    if (key != NULL)
        return of_phase(&c->stint, key);
    if (strcmp(path, "stint.start") == 0)
        return isnan(c->stint.start) ? c->stint.ambient : c->stint.start;
    return NAN;
}

/* Every assumed number of the case that can be tried, with where it lies in the struct. */
enum { TRIED_MOST = 96 };

typedef struct candidate {
    char path[96];
    const mbl_field *field;
    size_t offset[2]; /* of the value in mbl_case; the second for the other axle */
    int places;
    double value;
} candidate;

typedef struct collector {
    const mbl_run *run;
    int n;
    candidate of[TRIED_MOST];
} collector;

/* Adds a place; the rear's key joins the front's when both were assumed and are equal. */
static void collect(collector *c, const mbl_field *f, const char *path, size_t offset)
{
    double value = f->need == MBL_INFERRED ? mbl_inferred_value(&c->run->setup, path) : f->fallback;
    bool range = f->need == MBL_INFERRED || f->usual_lo != f->usual_hi;
    if (isnan(value) || value == 0 || !range)
        return;
    const char *rear = after(path, "car.rear.");
    if (rear != NULL) {
        for (int i = 0; i < c->n; i++) {
            candidate *k = &c->of[i];
            const char *front = after(k->path, "car.front.");
            if (front == NULL || strcmp(front, rear) != 0 || k->places != 1 ||
                f->need == MBL_INFERRED)
                continue;
            k->offset[k->places++] = offset;
            return;
        }
    }
    if (c->n == TRIED_MOST)
        return;
    candidate *k = &c->of[c->n++];
    *k = (candidate){.field = f, .offset = {offset}, .places = 1, .value = value};
    snprintf(k->path, sizeof k->path, "%.95s", path);
}

static void walk(collector *c, const mbl_schema *schema, const mbl_node *node, const char *above,
                 size_t base)
{
    for (size_t i = 0; i < schema->nfields; i++) {
        const mbl_field *f = &schema->fields[i];
        if (f->key == NULL || f->kind == MBL_FIELD_LATER)
            continue;
        char path[96];
        snprintf(path, sizeof path, "%s%s%s", above, above[0] != '\0' ? "." : "", f->key);
        const mbl_node *child = node != NULL ? mbl_node_get(node, f->key) : NULL;
        if (f->kind == MBL_FIELD_GROUP || f->kind == MBL_FIELD_PART) {
            /* the car that made the log, the car before the change, and a duct that is not there
             * are no assumptions */
            bool absent = child == NULL && f->kind == MBL_FIELD_PART;
            bool tried = strcmp(path, "course") != 0 && strcmp(path, "limits") != 0 &&
                         strcmp(path, "base") != 0;
            if (!absent && tried)
                walk(c, f->sub, child, path, base + f->offset);
        } else if (child == NULL && f->kind == MBL_FIELD_NUMBER &&
                   (f->need == MBL_DEFAULT || f->need == MBL_INFERRED)) {
            collect(c, f, path, base + f->offset);
        }
    }
}

/* Sets every place of a candidate in a copy of the case. */
static void set(mbl_case *setup, const candidate *k, double value)
{
    for (int i = 0; i < k->places; i++) {
        unsigned char *at = (unsigned char *)setup + k->offset[i];
        memcpy(at, &value, sizeof value);
    }
}

static double weight(const mbl_doubtful *d)
{
    return fmax(fabs(d->at_low), fabs(d->at_high));
}

/* The tightest check that a number can move: what an inspection found stays found. */
static const mbl_check *limiting(const mbl_run *run)
{
    const mbl_check *c = &run->checks[0];
    return c->kind == MBL_CHECK_FOUND && run->nchecks > 1 ? c + 1 : c;
}

/* A change of its margin that is worth a line: a small part of its band. */
static double notable(const mbl_check *c)
{
    return 0.0015 * fmax(c->band, 1e-3 * fabs(c->limit));
}

static void describe(const candidate *k, mbl_doubtful *out)
{
    const mbl_field *f = k->field;
    bool usual = f->usual_lo != f->usual_hi;
    /* a tenth of a level in kelvin would be no small doubt */
    double doubt = f->quantity == MBL_Q_LEVEL ? 20.0 : 0.1 * k->value;
    *out = (mbl_doubtful){.field = f,
                          .value = k->value,
                          .low = usual ? f->usual_lo : fmax(f->lo, k->value - doubt),
                          .high = usual ? f->usual_hi : fmin(f->hi, k->value + doubt)};
    const char *front = k->places == 2 ? after(k->path, "car.front.") : NULL;
    snprintf(out->path, sizeof out->path, "%s%.80s", front != NULL ? "car.front/rear." : "",
             front != NULL ? front : k->path);
}

/* Runs with one number moved, side by side, cut in time as one so that small moves show. */
typedef struct trials {
    const mbl_run *run;
    const collector *c;
    mbl_doubtful *of; /* (c->n) */
    bool low;         /* numbers at their lower ends; else first the base, then the upper ends */
    int n;
    int which[TRIED_MOST + 1]; /* candidate of a row; -1: the base */
    double base;
} trials;

static mbl_status give_trial(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    const trials *t = ctx;
    (void)err;
    if (i >= (size_t)t->n) {
        *fate = MBL_ROW_NONE;
        return MBL_OK;
    }
    *out = t->run->setup;
    int k = t->which[i];
    if (k >= 0)
        set(out, &t->c->of[k], t->low ? t->of[k].low : t->of[k].high);
    *fate = MBL_ROW_GIVEN;
    return MBL_OK;
}

static mbl_status take_trial(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                             mbl_error *err)
{
    trials *t = ctx;
    if (run == NULL) {
        *err = *why;
        return why->status;
    }
    const mbl_check *limit = limiting(t->run);
    const mbl_check *same = mbl_run_check_of(run, limit->kind, limit->axle);
    double margin = same != NULL ? same->margin : (double)NAN;
    int k = t->which[i];
    if (k < 0)
        t->base = margin;
    else if (t->low)
        t->of[k].at_low = margin - t->base;
    else
        t->of[k].at_high = margin - t->base;
    return MBL_OK;
}

static mbl_status try_all(trials *t, mbl_error *err)
{
    size_t done = 0;
    mbl_batch batch = {.alloc = t->run->alloc,
                       .source = give_trial,
                       .sink = take_trial,
                       .ctx = t,
                       .rows = (size_t)t->n,
                       .workers = 1,
                       .step = t->run->step,
                       .kin = &t->run->drive->route->road.kin};
    return mbl_batch_run(&batch, &done, err);
}

/* Upper ends first: the laws are monotone, and what moves nothing one way is not tried the other.
 */
static mbl_status find_moves(trials *t, mbl_error *err)
{
    t->which[t->n++] = -1;
    for (int k = 0; k < t->c->n; k++) {
        describe(&t->c->of[k], &t->of[k]);
        t->which[t->n++] = k;
    }
    MBL_TRY(try_all(t, err));
    t->low = true;
    t->n = 0;
    for (int k = 0; k < t->c->n; k++) {
        if (!(fabs(t->of[k].at_high) < 0.4 * notable(limiting(t->run))))
            t->which[t->n++] = k;
    }
    return try_all(t, err);
}

/* Keeps the heaviest, in order. */
static void keep(mbl_run *run, const mbl_doubtful *d)
{
    if (!(weight(d) >= notable(limiting(run))))
        return;
    int at = run->ndoubtful < MBL_DOUBTFUL_SHOWN ? run->ndoubtful++ : MBL_DOUBTFUL_SHOWN;
    for (; at > 0 && weight(d) > weight(&run->doubtful[at - 1]); at--) {
        if (at < MBL_DOUBTFUL_SHOWN)
            run->doubtful[at] = run->doubtful[at - 1];
    }
    if (at < MBL_DOUBTFUL_SHOWN)
        run->doubtful[at] = *d;
}

mbl_status mbl_run_doubt(mbl_run *run, mbl_error *err)
{
    if (run->tree == NULL || run->ndoubtful > 0)
        return MBL_OK;
    collector *c = mbl_new(run->alloc, 1, sizeof *c);
    mbl_doubtful *of = mbl_new(run->alloc, TRIED_MOST, sizeof *of);
    mbl_status status = MBL_OK;
    if (c == NULL || of == NULL)
        status = mbl_fail(err, MBL_MEMORY, "out of memory listing assumptions");
    if (status == MBL_OK) {
        c->run = run;
        walk(c, &mbl_case_schema, run->tree, "", 0);
        trials t = {.run = run, .c = c, .of = of};
        status = find_moves(&t, err);
    }
    for (int i = 0; status == MBL_OK && i < c->n; i++)
        keep(run, &of[i]);
    mbl_free(run->alloc, of, TRIED_MOST, sizeof *of);
    mbl_free(run->alloc, c, 1, sizeof *c);
    return status;
}
