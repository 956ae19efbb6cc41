/* SPDX-License-Identifier: MIT */
#include "study/assumptions.h"

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

/* Margin of one check. */
static mbl_status probe(const mbl_run *run, const mbl_case *setup, const mbl_check *check,
                        mbl_film_store *films, double *margin, mbl_error *err)
{
    mbl_run *tried = NULL;
    MBL_TRY(mbl_run_quick(run->alloc, setup, run->step, films, &tried, err));
    const mbl_check *same = mbl_run_check_of(tried, check->kind, check->axle);
    *margin = same != NULL ? same->margin : (double)NAN;
    mbl_run_free(tried);
    return MBL_OK;
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

static mbl_status margin_at(const mbl_run *run, const candidate *k, double value, double base,
                            mbl_film_store *films, double *moved, mbl_error *err)
{
    mbl_case setup = run->setup;
    double margin = 0;
    set(&setup, k, value);
    MBL_TRY(probe(run, &setup, limiting(run), films, &margin, err));
    *moved = margin - base;
    return MBL_OK;
}

static mbl_status try_one(const mbl_run *run, const candidate *k, double base,
                          mbl_film_store *films, mbl_doubtful *out, mbl_error *err)
{
    describe(k, out);
    MBL_TRY(margin_at(run, k, out->high, base, films, &out->at_high, err));
    /* the laws are monotone: what moves little one way is not worth trying the other way */
    double fifth =
        run->ndoubtful == MBL_DOUBTFUL_SHOWN ? weight(&run->doubtful[MBL_DOUBTFUL_SHOWN - 1]) : 0.0;
    if (fabs(out->at_high) < fmax(0.4 * notable(limiting(run)), 0.2 * fifth))
        return MBL_OK;
    return margin_at(run, k, out->low, base, films, &out->at_low, err);
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
    if (c == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory listing assumptions");
    c->run = run;
    walk(c, &mbl_case_schema, run->tree, "", 0);
    mbl_film_store films;
    mbl_film_store_init(&films, run->alloc);
    double base = 0;
    mbl_status status = probe(run, &run->setup, limiting(run), &films, &base, err);
    for (int i = 0; i < c->n && status == MBL_OK; i++) {
        mbl_doubtful d;
        status = try_one(run, &c->of[i], base, &films, &d, err);
        if (status == MBL_OK)
            keep(run, &d);
    }
    if (status != MBL_OK)
        run->ndoubtful = 0;
    mbl_film_store_free(&films);
    mbl_free(run->alloc, c, 1, sizeof *c);
    return status;
}
