/* SPDX-License-Identifier: MIT */
/*
 * A key is accepted only once it changes a result: every row of every field table is moved by
 * 10 % (a choice to the next, a flag over) and some output must move. What may stay still is
 * listed here with its reason, printed, and nothing else may.
 */
#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"

/* Rows that change no number, and why. */
static const struct {
    const char *path, *why;
} silent[] = {
    {"course.file", "names the log; a wrong one is an error (script tests)"},
    {"course.time", "names a column; a wrong one is an error (script tests)"},
    {"course.speed", "names a column; a wrong one is an error (script tests)"},
    {"course.lap", "names a column; a wrong one is an error (script tests)"},
    {"course.distance", "names a column; a wrong one is an error (script tests)"},
    {"course.altitude", "names a column; the grade it gives is tested with the channels"},
    {"course.pressure_front", "names a column; a wrong one is an error (script tests)"},
    {"course.pressure_rear", "names a column; a wrong one is an error (script tests)"},
    {"course.latitude", "names a column; a wrong one is an error (script tests)"},
    {"course.longitude", "names a column; a wrong one is an error (script tests)"},
    {"course.time_unit", "reading a log, tested there"},
    {"course.speed_unit", "reading a log, tested there"},
    {"course.distance_unit", "reading a log, tested there"},
    {"course.altitude_unit", "reading a log, tested there"},
    {"course.pressure_front_unit", "reading a log, tested there"},
    {"course.pressure_rear_unit", "reading a log, tested there"},
    {"course.latitude_unit", "reading a log, tested there"},
    {"course.longitude_unit", "reading a log, tested there"},
    {"course.start_line", "reading a log, tested there: laps begin where it is crossed"},
    {"course.trace", "not a user's key: where the host keeps the log it read"},
    {"car.front.pad.thickness", "thickness_now stands in its place; the rear pad's moves"},
    {"course.of", "only says where the brakes were on; tested with the channels"},
};

/* Everything a run tells, as numbers. */
enum { OUTPUTS = 2 * MBL_CORNER_NODES * 2 + 128 };

typedef struct outputs {
    size_t n;
    double v[OUTPUTS];
} outputs;

static outputs run_outputs(const mbl_case *c)
{
    mbl_error err = {0};
    mbl_run *run = NULL;
    assert_ok(mbl_run_make(&mbl_alloc_libc, c, NULL, 0.25, &run, &err), err);
    outputs o = {0};
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_axle_result *a = &run->axle[axle];
        for (int i = 0; i < MBL_CORNER_NODES; i++) {
            o.v[o.n++] = a->peak[i].T;
            o.v[o.n++] = a->parked[i].T;
        }
        o.v[o.n++] = a->wet;
        o.v[o.n++] = a->now;
        o.v[o.n++] = a->margin;
    }
    for (int i = 0; i < run->nchecks; i++) {
        o.v[o.n++] = run->checks[i].margin;
        o.v[o.n++] = run->checks[i].band;
    }
    o.v[o.n++] = run->ledger.energy;
    o.v[o.n++] = run->duration;
    o.v[o.n++] = (double)run->nlegs;
    mbl_run_free(run);
    return o;
}

/* What an inferred number stands for, so that 10 % of it is known. */
static double inferred(const char *key, const mbl_case *c, const char *path)
{
    if (strcmp(key, "pace") == 0)
        return 1.0;
    double value = mbl_inferred_value(c, path);
    if (!isnan(value))
        return value;
    fail_msg("%s: say here what %s stands for", path, key);
    return NAN;
}

static double moved(const mbl_field *f, double x)
{
    if (f->quantity == MBL_Q_LEVEL) {
        double celsius = x - 273.15;
        return 273.15 + (fabs(celsius) > 1 ? 1.1 * celsius : celsius + 10);
    }
    return x != 0 ? 1.1 * x : 0.1 * f->hi;
}

/* Every row met so far, and whether it moved an output of some case. */
static struct {
    char path[128];
    bool moves;
} rows[600];
static size_t nrows;

static size_t row_of(const char *path)
{
    for (size_t i = 0; i < nrows; i++) {
        if (strcmp(rows[i].path, path) == 0)
            return i;
    }
    assert_true(nrows < sizeof rows / sizeof rows[0]);
    snprintf(rows[nrows].path, sizeof rows[nrows].path, "%s", path);
    return nrows++;
}

typedef struct sweep {
    const mbl_case *base;
    mbl_case *changed; /* a copy of base with one value moved */
    outputs before;
} sweep;

static void compare(sweep *s, const char *path)
{
    outputs after = run_outputs(s->changed);
    *s->changed = *s->base;
    size_t bytes = s->before.n * sizeof s->before.v[0];
    size_t row = row_of(path);
    if (after.n != s->before.n || memcmp(after.v, s->before.v, bytes) != 0)
        rows[row].moves = true;
}

static void walk(sweep *s, const mbl_schema *schema, unsigned char *at, const char *above);

static void move_field(sweep *s, const mbl_field *f, unsigned char *at, const char *path)
{
    unsigned char *member = at + f->offset;
    switch (f->kind) {
    case MBL_FIELD_NUMBER: {
        double *x = (double *)(void *)member;
        double from = !isnan(*x)                ? *x
                      : f->need == MBL_OPTIONAL ? NAN
                                                : inferred(f->key, s->base, path);
        if (isnan(from))
            return; /* absent because another form is used; that form is swept too */
        *x = strcmp(f->key, "thickness_now") == 0 ? from / 1.1 : moved(f, from);
        compare(s, path);
        break;
    }
    case MBL_FIELD_COUNT: {
        int *x = (int *)(void *)member;
        *x = *x < 0 ? 44 : *x + (*x >= 10 ? *x / 10 : 1);
        compare(s, path);
        break;
    }
    case MBL_FIELD_CHOICE: {
        int *x = (int *)(void *)member;
        *x = f->choices[*x + 1] != NULL ? *x + 1 : 0;
        compare(s, path);
        break;
    }
    case MBL_FIELD_FLAG: {
        bool *x = (bool *)member;
        *x = !*x;
        compare(s, path);
        break;
    }
    case MBL_FIELD_NUMBERS: {
        mbl_numbers *x = (mbl_numbers *)(void *)member;
        for (size_t i = 0; i < x->n; i++)
            x->v[i] = moved(f, x->v[i]);
        compare(s, path);
        break;
    }
    case MBL_FIELD_CURVE: {
        mbl_curve *x = (mbl_curve *)(void *)member;
        if (x->n == 0)
            break; /* not there in this case; it is in the other */
        /* the level of one axle's friction moves the split between the axles */
        for (size_t i = 0; i < x->n; i++)
            x->y[i] *= 1.1;
        compare(s, path);
        break;
    }
    case MBL_FIELD_PART:
    case MBL_FIELD_GROUP:
        if (strcmp(path, "course.of") == 0) {
            /* the car that made the log, dropped: this car drove it */
            s->changed->course.of.present = false;
            compare(s, path);
            break;
        }
        if (f->sub->present >= 0 && !*(bool *)(member + f->sub->present))
            break; /* not there in this case; it is in the other */
        walk(s, f->sub, member, path);
        break;
    case MBL_FIELD_ITEMS: {
        /* a count, and then the structs themselves */
        size_t n = *(size_t *)(void *)member;
        for (size_t i = 0; i < n; i++)
            walk(s, f->sub, member + sizeof(size_t) + i * f->sub->size, path);
        break;
    }
    case MBL_FIELD_TEXT:
    case MBL_FIELD_HANDLE:
        compare(s, path);
        break;
    case MBL_FIELD_FILM: {
        const mbl_film_samples **x = (const mbl_film_samples **)(void *)member;
        if (*x == NULL)
            break; /* not there in this case; it is in the other */
        static mbl_film_samples more;
        more = **x;
        for (int i = 0; i < MBL_FILM_SPEEDS * MBL_FILM_LEVELS; i++)
            more.h[i] *= 1.1;
        *x = &more;
        compare(s, path);
        break;
    }
    case MBL_FIELD_LATER:
        break;
    }
}

static void walk(sweep *s, const mbl_schema *schema, unsigned char *at, const char *above)
{
    for (size_t i = 0; i < schema->nfields; i++) {
        const mbl_field *f = &schema->fields[i];
        char path[128];
        snprintf(path, sizeof path, "%s%s%s", above, above[0] != '\0' ? "." : "",
                 f->key != NULL ? f->key : "phases");
        move_field(s, f, at, path);
    }
}

static void sweep_case(const mbl_case *base)
{
    mbl_case changed = *base;
    sweep s = {.base = base, .changed = &changed, .before = run_outputs(base)};
    walk(&s, &mbl_case_schema, (unsigned char *)&changed, "");
}

static const char *reason(const char *path)
{
    for (size_t i = 0; i < sizeof silent / sizeof silent[0]; i++) {
        if (strcmp(silent[i].path, path) == 0)
            return silent[i].why;
    }
    return NULL;
}

/* The short form and the list between them use every row. */
static void every_key_moves_some_output(void **state)
{
    (void)state;
    mbl_trace *trace = test_session(&drive_kestrel_rise, 2);
    mbl_case c = test_case(trace, "{ out: 1, hot: 2, cool: 1, park: 5 min, pit_speed: 40 km/h }");
    c.car.fuel.start = 40;
    c.car.fuel.per_lap = 2;
    c.car.fluid.water = 0.06;
    test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1.4 m, aim: eye }", &c.car.front.duct);
    c.car.front.pad.speed_effect = (mbl_curve){.n = 2, .x = {0, 60}, .y = {1.1, 0.9}};
    c.car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.05, 0.95}};
    c.course.of = c.car;
    c.course.hot_lap = 1;
    sweep_case(&c);

    mbl_case list = test_case(trace, "{ hot: 1 }");
    list.stint.hot = 0;
    list.stint.phases = (mbl_phases){.n = 4,
                                     .v = {{MBL_PHASE_TRAFFIC, 1, NAN, NAN},
                                           {MBL_PHASE_HOT, 1, NAN, 0.9},
                                           {MBL_PHASE_PARK, 1, 200, NAN},
                                           {MBL_PHASE_OUT, 1, NAN, NAN}}};
    test_fill(&mbl_fluid_schema, "{ grade: DOT 4, age: 20 months }", &list.car.fluid);
    test_fill(&mbl_duct_schema, "{ bore: 63 mm, length: 1 m, split: 2, taped: 50 % }",
              &list.car.rear.duct);
    list.car.rear.pad.speed_effect = (mbl_curve){.n = 2, .x = {0, 60}, .y = {1.1, 0.9}};
    list.car.rear.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.05, 0.95}};
    sweep_case(&list);
    mbl_trace_drop(trace);

    size_t still = 0;
    for (size_t i = 0; i < nrows; i++) {
        if (rows[i].moves)
            continue;
        still++;
        if (reason(rows[i].path) == NULL)
            fail_msg("%s is accepted and changes nothing", rows[i].path);
        printf("  no output moves: %-24s %s\n", rows[i].path, reason(rows[i].path));
    }
    printf("%zu keys moved by 10 %%, %zu of them without an effect\n", nrows, still);
    assert_true(nrows > 90);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_key_moves_some_output),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
