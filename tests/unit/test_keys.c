/* SPDX-License-Identifier: MIT */
/*
 * A key is accepted only once it changes a result: every row of every field table is moved by
 * 10 % (a choice to the next, a flag over) and some output must move. What may stay still is
 * listed here with its reason, printed, and nothing else may.
 */
#include "support/coupe.h"
#include "support/outputs.h"
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
    {"course.lateral", "names a column; the layout it gives is tested there"},
    {"course.yaw_rate", "names a column; the layout it gives is tested there"},
    {"course.time_unit", "reading a log, tested there"},
    {"course.speed_unit", "reading a log, tested there"},
    {"course.distance_unit", "reading a log, tested there"},
    {"course.altitude_unit", "reading a log, tested there"},
    {"course.pressure_front_unit", "reading a log, tested there"},
    {"course.pressure_rear_unit", "reading a log, tested there"},
    {"course.latitude_unit", "reading a log, tested there"},
    {"course.longitude_unit", "reading a log, tested there"},
    {"course.lateral_unit", "reading a log, tested there"},
    {"course.yaw_rate_unit", "reading a log, tested there"},
    {"course.start_line", "reading a log, tested there: laps begin where it is crossed"},
    {"course.trace", "not a user's key: where the host keeps the log it read"},
    {"course.layout", "not a user's key: where the host keeps the layout it read"},
    {"course.driver.corner", "drives laps of layouts; tested there (test_loop)"},
    {"course.driver.brake", "drives laps of layouts; tested there (test_loop)"},
    {"course.driver.power", "drives laps of layouts; tested there (test_loop)"},
    {"course.driver.early", "drives laps of layouts; tested there (test_loop)"},
    {"course.of", "only says where the brakes were on; tested with the channels"},
    {"car.power", "drives laps of layouts; tested there (test_lap)"},
    {"car.gearing.driven", "drives laps of layouts; tested there (test_lap)"},
    {"car.gearing.torque", "drives laps of layouts; tested there (test_lap)"},
    {"car.gearing.ratios", "drives laps of layouts; tested there (test_lap)"},
    {"car.gearing.final", "drives laps of layouts; tested there (test_lap)"},
    {"car.gearing.efficiency", "drives laps of layouts; tested there (test_lap)"},
    {"car.found.phases", "which word it is is only told; that there is one fails (test_run)"},
};

static const char *reason(const char *path)
{
    for (size_t i = 0; i < sizeof silent / sizeof silent[0]; i++) {
        if (strcmp(silent[i].path, path) == 0)
            return silent[i].why;
    }
    return NULL;
}

/* What an inferred number stands for, so that 10 % of it is known. */
static double inferred(const char *key, const mbl_case *c, const char *path)
{
    if (strcmp(key, "pace") == 0)
        return 1.0;
    if (strcmp(key, "balance") == 0 && c->car.pedal.distribution != MBL_DISTRIBUTION_BAR)
        return NAN; /* only a bar has one, and the case with the bar gives it */
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
    mbl_film_store *films;
    outputs quick, full;
} sweep;

static void compare(sweep *s, const char *path)
{
    size_t row = row_of(path);
    if (!rows[row].moves) { /* else an earlier case has shown it */
        outputs after = outputs_quick(s->changed, s->films);
        rows[row].moves = !outputs_same(&after, &s->quick);
    }
    if (!rows[row].moves && reason(path) == NULL) {
        outputs after = outputs_full(s->changed);
        rows[row].moves = !outputs_same(&after, &s->full);
    }
    *s->changed = *s->base;
}

/*
 * The car before the change has the keys of the car, and is run by the code that runs it
 * (test_run): that it is there, and one of its keys, stand for all.
 */
static void move_base(sweep *s)
{
    if (!s->base->base.present)
        return;
    s->changed->base.present = false;
    compare(s, "base");
    s->changed->base.mass *= 1.1;
    compare(s, "base.mass");
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
        if (s->changed->car.pedal.distribution == MBL_DISTRIBUTION_VALVE &&
            isnan(s->changed->car.pedal.knee))
            s->changed->car.pedal.knee = 2e6; /* a valve has one */
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
        if (strcmp(path, "base") == 0) {
            move_base(s);
            break;
        }
        if (f->sub->present >= 0 && !*(bool *)(member + f->sub->present))
            break; /* not there in this case; it is in the other */
        walk(s, f->sub, member, path);
        break;
    case MBL_FIELD_ITEMS: {
        /* a count, and then the structs themselves */
        size_t n = *(size_t *)(void *)member;
        if (strcmp(f->key != NULL ? f->key : "", "found") == 0 && n > 0) {
            *(size_t *)(void *)member = n - 1;
            compare(s, path);
        }
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

static void sweep_case(const mbl_case *base, mbl_film_store *films)
{
    mbl_case changed = *base;
    sweep s = {.base = base,
               .changed = &changed,
               .films = films,
               .quick = outputs_quick(base, films),
               .full = outputs_full(base)};
    walk(&s, &mbl_case_schema, (unsigned char *)&changed, "");
}

/* Short form; a tandem master with a booster; a duct, effects, a car before the change. */
static mbl_case first_case(mbl_trace *trace)
{
    mbl_case c = test_case(trace, "{ out: 1, hot: 2, cool: 1, park: 5 min, pit_speed: 40 km/h }");
    c.car = test_coupe_with(test_pedal_tandem);
    c.car.fuel.start = 40;
    c.car.fuel.per_lap = 2;
    c.car.fluid.water = 0.06;
    test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1.4 m, aim: eye }", &c.car.front.duct);
    c.car.front.pad.speed_effect = (mbl_curve){.n = 2, .x = {0, 60}, .y = {1.1, 0.9}};
    c.car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.05, 0.95}};
    c.car.rear.pad.wear_onset = 273.15 + 100;
    c.car.rear.pad.wear = 1e-15;
    c.car.front.caliper.rating = 1.2e7;
    c.car.rear.caliper.rating = 1.1e7;
    c.car.front.rotor.minimum = 0.030;
    c.car.rear.rotor.minimum = 0.026;
    c.car.found.n = 1;
    c.car.front.pad.cost = 200;
    c.car.fluid.cost = 30;
    c.car.fluid.labour = 1800;
    c.event.labour_rate = 60;
    c.course.of = c.car;
    c.course.hot_lap = 1;
    c.base = c.car;
    c.base.front.rotor.ring_mass = 7;
    return c;
}

/* The list; two masters with a bar; another fluid, downforce, a duct behind, wear by a curve. */
static mbl_case second_case(mbl_trace *trace)
{
    mbl_case c = test_case(trace, "{ hot: 1 }");
    c.car = test_coupe_with(test_pedal_bar);
    c.stint.hot = 0;
    c.stint.phases = (mbl_phases){.n = 4,
                                  .v = {{MBL_PHASE_TRAFFIC, 1, NAN, NAN},
                                        {MBL_PHASE_HOT, 1, NAN, 0.9},
                                        {MBL_PHASE_PARK, 1, 200, NAN},
                                        {MBL_PHASE_OUT, 1, NAN, NAN}}};
    test_fill(&mbl_fluid_schema, "{ grade: DOT 4, age: 20 months }", &c.car.fluid);
    test_fill(&mbl_duct_schema, "{ bore: 63 mm, length: 1 m, split: 2, taped: 50 % }",
              &c.car.rear.duct);
    c.car.rear.pad.speed_effect = (mbl_curve){.n = 2, .x = {0, 60}, .y = {1.1, 0.9}};
    c.car.rear.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.05, 0.95}};
    c.car.front.pad.wear_onset = 273.15 + 200;
    c.car.front.pad.wear = 1e-15;
    c.car.rear.pad.wear_effect = (mbl_curve){.n = 2, .x = {300, 900}, .y = {1, 5}};
    c.car.aero.downforce_area = 1;
    c.car.power = 200e3;
    c.car.gearing.torque = (mbl_curve){.n = 2, .x = {1000, 7000}, .y = {250, 300}};
    c.car.gearing.ratios = (mbl_numbers){2, {3, 2}};
    c.car.gearing.final = 4;
    c.event.labour_rate = 60;
    return c;
}

/* A valve; wear by a curve in front. */
static mbl_case third_case(mbl_trace *trace)
{
    mbl_case c = test_case(trace, "{ hot: 1, park: 1 min }");
    c.car = test_coupe_with(test_pedal_valve);
    c.car.front.pad.wear_effect = (mbl_curve){.n = 2, .x = {300, 900}, .y = {1, 5}};
    return c;
}

/* The cases between them use every row. */
static void every_key_moves_some_output(void **state)
{
    (void)state;
    mbl_trace *trace = test_session(&drive_kestrel_rise, 2);
    mbl_case cases[] = {first_case(trace), second_case(trace), third_case(trace)};
    mbl_film_store films;
    mbl_film_store_init(&films, &mbl_alloc_libc);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        sweep_case(&cases[i], &films);
    mbl_film_store_free(&films);
    mbl_trace_drop(trace);

    size_t still = 0;
    size_t unsaid = 0;
    for (size_t i = 0; i < nrows; i++) {
        if (rows[i].moves) {
            if (reason(rows[i].path) != NULL)
                fail_msg("%s moves, and is listed as silent", rows[i].path);
            continue;
        }
        still++;
        const char *why = reason(rows[i].path);
        printf("  no output moves: %-24s %s\n", rows[i].path, why != NULL ? why : "WHY?");
        unsaid += why == NULL;
    }
    printf("%zu keys moved by 10 %%, %zu of them without an effect\n", nrows, still);
    assert_int_equal(unsaid, 0);
    assert_true(nrows > 240);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_key_moves_some_output),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
