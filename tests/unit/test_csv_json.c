/* SPDX-License-Identifier: MIT */
/* Runs as files: CSV that is square, JSON that comes back to the last bit, all or nothing. */
#include "out/out.h"
#include "study/session.h"
#include "support/take.h"
#include "support/told.h"

#include <jansson.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

static mbl_trace *trace;
static mbl_run *run;
static char folder[256];

static int set_up(void **state)
{
    (void)state;
    snprintf(folder, sizeof folder, "%s/out_test.XXXXXX", MBL_BINARY_DIR);
    assert_non_null(mkdtemp(folder));
    trace = test_session(&drive_harrow_vale, 3);
    run = told_run(trace, "{ out: 1, hot: 3, cool: 1, park: 8 min, ambient: 30 C }", "{}");
    return 0;
}

static int tear_down(void **state)
{
    (void)state;
    mbl_run_free(run);
    mbl_trace_drop(trace);
    return rmdir(folder); /* fails when a test, or a temporary file, is left behind */
}

static const char *in_folder(const char *name)
{
    static char path[320];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    return path;
}

static char *csv_of(double every, mbl_units_system units)
{
    mbl_error err = {0};
    const char *path = in_folder("run.csv");
    assert_ok(mbl_out_run_csv(run, path, every, units, &err), err);
    return test_take(path);
}

/* Cuts a line off the text and returns it; NULL at the end. */
static char *next_line(char **text)
{
    char *line = *text;
    char *end = strchr(line, '\n');
    if (end == NULL)
        return NULL;
    *end = '\0';
    *text = end + 1;
    return line;
}

static size_t cells_in(const char *line)
{
    size_t n = 1;
    for (; *line != '\0'; line++)
        n += *line == ',';
    return n;
}

/* The text of a cell, from 0. */
static const char *cell(const char *line, size_t index)
{
    static char out[64];
    for (; index > 0; index--)
        line = strchr(line, ',') + 1;
    size_t n = strcspn(line, ",");
    assert_true(n < sizeof out);
    memcpy(out, line, n);
    out[n] = '\0';
    return out;
}

static double number_in(const char *line, size_t index)
{
    const char *text = cell(line, index);
    double value = NAN;
    assert_true(mbl_number_read(text, strlen(text), &value));
    return value;
}

enum { FIXED = 6, COLUMNS = FIXED + MBL_AXLES * MBL_CORNER_NODES };

static void csv_has_names_then_units_then_rows_as_wide_as_they_are(void **state)
{
    (void)state;
    char *text = csv_of(0.5, MBL_UNITS_SI);
    char *at = text;
    const char *names = next_line(&at);
    assert_int_equal(cells_in(names), COLUMNS);
    assert_memory_equal(names, "time,phase,lap,speed,braking power,line pressure,front.rotor.face,",
                        64);
    assert_string_equal(cell(names, COLUMNS - 1), "rear.caliper");
    const char *units = next_line(&at);
    assert_int_equal(cells_in(units), COLUMNS);
    assert_memory_equal(units, "s,,,km/h,kW,bar,C,C,", 20);
    size_t rows = 0;
    double last = -1;
    for (const char *line = next_line(&at); line != NULL; line = next_line(&at)) {
        assert_int_equal(cells_in(line), COLUMNS);
        double t = number_in(line, 0);
        assert_true(t > last);
        last = t;
        for (size_t i = 3; i < COLUMNS; i++)
            assert_true(isfinite(number_in(line, i)));
        rows++;
    }
    assert_int_equal(*at, '\0');
    assert_true(last <= run->duration && last > run->duration - 2);
    assert_true(rows > 500);
    free(text);
}

static void csv_rows_carry_phases_laps_and_the_peaks_of_the_run(void **state)
{
    (void)state;
    char *text = csv_of(0, MBL_UNITS_SI);
    char *at = text;
    next_line(&at);
    next_line(&at);
    double hottest = -1e9;
    bool parked = false;
    bool stopping = false;
    int lap = 1;
    for (const char *line = next_line(&at); line != NULL; line = next_line(&at)) {
        double face = number_in(line, FIXED + MBL_FACE);
        hottest = face > hottest ? face : hottest;
        const char *phase = cell(line, 1);
        parked = parked || strcmp(phase, "park") == 0;
        stopping = stopping || strcmp(phase, "stop") == 0;
        int now = (int)number_in(line, 2);
        assert_true(now == lap || now == lap + 1);
        lap = now;
    }
    assert_true(parked && stopping);
    assert_int_equal(lap, 5);
    /* the rows miss the very peak by less than what a tenth of a second of cooling is worth */
    double peak = run->axle[0].peak[MBL_FACE].T - 273.15;
    assert_true(hottest <= peak + 0.001);
    assert_true(hottest > peak - 25);
    free(text);
}

static void csv_in_american_units_says_so_and_means_it(void **state)
{
    (void)state;
    char *si = csv_of(10, MBL_UNITS_SI);
    char *us = csv_of(10, MBL_UNITS_US);
    char *a = si;
    char *b = us;
    next_line(&a);
    next_line(&b);
    next_line(&a);
    assert_memory_equal(next_line(&b), "s,,,mph,kW,psi,F,F,", 19);
    const char *x = next_line(&a);
    const char *y = next_line(&b);
    for (; x != NULL && y != NULL; x = next_line(&a), y = next_line(&b)) {
        assert_near(number_in(y, 0), number_in(x, 0), 0);
        /* F = C x 9/5 + 32; both rounded to three decimals */
        assert_near(number_in(y, FIXED), number_in(x, FIXED) * 1.8 + 32, 0.002);
        assert_near(number_in(y, 3) * 1.609344, number_in(x, 3), 0.002);
    }
    assert_true(x == NULL && y == NULL);
    free(si);
    free(us);
}

static void csv_refuses_rates_out_of_range(void **state)
{
    (void)state;
    static const double wrong[] = {0.01, 61, -1, NAN, INFINITY};
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        mbl_error err = {0};
        const char *path = in_folder("wrong.csv");
        assert_int_equal(mbl_out_run_csv(run, path, wrong[i], MBL_UNITS_SI, &err), MBL_INPUT);
        assert_has(err.text, "out of range");
        assert_int_equal(access(path, F_OK), -1);
    }
}

static char *json_text_of(const mbl_run *of)
{
    mbl_error err = {0};
    const char *path = in_folder("run.json");
    assert_ok(mbl_out_run_json(of, path, &err), err);
    return test_take(path);
}

static json_t *json_of(const mbl_run *of)
{
    char *text = json_text_of(of);
    json_error_t error;
    json_t *root = json_loads(text, JSON_REJECT_DUPLICATES, &error);
    if (root == NULL)
        fail_msg("line %d: %s", error.line, error.text);
    free(text);
    return root;
}

static const json_t *get(const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    if (value == NULL)
        fail_msg("no key %s", key);
    return value;
}

static double real(const json_t *object, const char *key)
{
    const json_t *value = get(object, key);
    assert_true(json_is_real(value));
    return json_real_value(value);
}

static const char *word(const json_t *object, const char *key)
{
    const char *text = json_string_value(get(object, key));
    assert_non_null(text);
    return text;
}

static void json_comes_back_with_the_same_doubles(void **state)
{
    (void)state;
    json_t *root = json_of(run);
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        const mbl_axle_result *a = &run->axle[axle];
        const json_t *o = get(get(root, "axles"), mbl_axle_word(axle));
        for (int i = 0; i < MBL_CORNER_NODES; i++) {
            const json_t *node = get(get(o, "nodes"), mbl_corner_key((mbl_corner_node)i));
            const json_t *peak = get(node, "peak");
            assert_true(real(peak, "temperature") == a->peak[i].T - 273.15);
            assert_true(real(peak, "at") == a->peak[i].at);
            assert_int_equal(json_integer_value(get(peak, "lap")), a->peak[i].lap);
            assert_int_equal(json_is_true(get(peak, "parked")), a->peak[i].parked);
            assert_true(real(get(node, "track"), "temperature") == a->track[i].T - 273.15);
            assert_true(real(get(node, "parked"), "temperature") == a->parked[i].T - 273.15);
        }
        const json_t *fluid = get(o, "fluid");
        assert_true(real(fluid, "boils_wet") == a->wet - 273.15);
        assert_true(real(fluid, "boils_now") == a->now - 273.15);
        assert_true(real(fluid, "margin_wet") == a->margin_wet);
        assert_true(real(fluid, "margin_now") == a->margin_now);
        assert_true(real(fluid, "margin") == a->margin);
        assert_true(real(o, "work") == a->work);
    }
    const json_t *ledger = get(root, "ledger");
    assert_true(real(ledger, "braking_energy") == run->ledger.energy);
    assert_true(real(ledger, "heat") == run->ledger.heat);
    assert_true(real(ledger, "stored") == run->ledger.stored);
    assert_true(real(ledger, "lost") == run->ledger.lost);
    assert_true(real(ledger, "residual") == run->ledger.residual);
    for (size_t i = 0; i < run->npaths; i++)
        assert_true(real(get(ledger, "lost_by_path"), run->path[i]) == run->lost_by_path[i]);
    json_decref(root);
}

static void json_has_verdict_checks_laps_and_reach(void **state)
{
    (void)state;
    json_t *root = json_of(run);
    assert_string_equal(word(root, "verdict"), mbl_verdict_word(run->verdict));
    assert_string_equal(word(root, "version"), MBL_VERSION);
    assert_string_equal(word(get(root, "units"), "temperature"), "C");
    const json_t *checks = get(root, "checks");
    assert_int_equal(json_array_size(checks), run->nchecks);
    for (size_t i = 0; i < json_array_size(checks); i++) {
        const json_t *o = json_array_get(checks, i);
        const mbl_check *c = &run->checks[i];
        bool level = mbl_check_quantity(c->kind) == MBL_Q_LEVEL;
        double zero = level ? 273.15 : 0;
        assert_string_equal(word(o, "kind"), mbl_check_word(c->kind));
        assert_string_equal(word(o, "unit"), c->kind == MBL_CHECK_WORN       ? "m"
                                             : c->kind == MBL_CHECK_GRADIENT ? "K"
                                                                             : "C");
        assert_string_equal(word(o, "axle"), mbl_axle_word(c->axle));
        assert_true(real(o, "limit") == c->limit - zero);
        assert_true(real(o, "margin") == c->margin);
        assert_true(real(o, "band") == c->band);
        assert_string_equal(word(o, "verdict"), mbl_verdict_word(c->verdict));
    }
    const json_t *laps = get(root, "laps");
    assert_int_equal(json_array_size(laps), 5);
    for (size_t i = 0; i < 5; i++) {
        const json_t *lap = json_array_get(laps, i);
        assert_int_equal(json_integer_value(get(lap, "number")), (int)i + 1);
        assert_true(real(lap, "energy") == run->legs[i].report.energy);
        assert_true(real(lap, "time") == run->legs[i].report.duration);
        assert_true(real(get(lap, "peaks"), "front.rotor.face") ==
                    run->legs[i].peak[MBL_FACE] - 273.15);
    }
    assert_string_equal(word(json_array_get(laps, 0), "kind"), "out");
    assert_string_equal(word(json_array_get(laps, 1), "kind"), "hot");
    assert_int_equal(json_array_size(get(root, "stands")), 2); /* the stop, then parked */
    const json_t *reach = get(root, "reach");
    assert_int_equal(json_integer_value(get(reach, "holds")), run->reach.holds);
    assert_int_equal(json_integer_value(get(reach, "hot_laps")), 3);
    assert_true(json_array_size(get(root, "cautions")) >= 5);
    json_decref(root);
}

static const json_t *assumption(const json_t *root, const char *path)
{
    const json_t *list = get(root, "assumptions");
    for (size_t i = 0; i < json_array_size(list); i++) {
        const json_t *o = json_array_get(list, i);
        if (strcmp(word(o, "path"), path) == 0)
            return o;
    }
    fail_msg("no assumption %s", path);
    return NULL;
}

static void json_lists_every_input_with_its_source(void **state)
{
    (void)state;
    json_t *root = json_of(run);
    /* given in the coupe's YAML and the stint */
    const json_t *o = assumption(root, "car.mass");
    assert_string_equal(word(o, "source"), "given");
    assert_true(real(o, "value") == 1420);
    o = assumption(root, "stint.ambient");
    assert_string_equal(word(o, "source"), "given");
    assert_near(real(o, "value"), 30, 1e-12);
    assert_string_equal(word(o, "unit"), "C");
    assert_string_equal(word(assumption(root, "car.front.rotor.construction"), "value"),
                        "two-piece");
    assert_int_equal(json_integer_value(get(assumption(root, "car.front.rotor.vanes"), "value")),
                     48);
    const json_t *curve = get(assumption(root, "car.front.pad.friction"), "value");
    assert_int_equal(json_array_size(curve), 4);
    assert_near(json_real_value(json_array_get(json_array_get(curve, 1), 0)), 300, 1e-10);
    assert_true(json_real_value(json_array_get(json_array_get(curve, 1), 1)) == 0.48);
    const json_t *window = get(assumption(root, "car.rear.pad.window"), "value");
    assert_near(json_real_value(json_array_get(window, 1)), 700, 1e-10);
    /* a default comes with where it comes from */
    o = assumption(root, "car.engine_braking");
    assert_string_equal(word(o, "source"), "default");
    assert_true(real(o, "value") == run->setup.car.engine_braking);
    assert_true(strlen(word(o, "reason")) > 0);
    assert_string_equal(word(assumption(root, "car.front.caliper.body"), "value"), "aluminium");
    /* inferred values: rotor radius less half the pad; ambient; a new pad */
    o = assumption(root, "car.front.effective_radius");
    assert_string_equal(word(o, "source"), "inferred");
    assert_near(real(o, "value"), 0.1525, 1e-12);
    assert_near(real(assumption(root, "stint.start"), "value"), 30, 1e-12);
    assert_near(real(assumption(root, "car.rear.pad.thickness_now"), "value"), 0.014, 1e-12);
    json_decref(root);
}

static void json_has_pedal_balance_life_mass_and_money(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_run *r = told_run_of(
        trace, &(told){.changes = "{ pedal: { ratio: 5.2, distribution: bar, balance: 0.62,"
                                  "  master: { front: 19 mm, rear: 17.8 mm, cost: 200 } },"
                                  "  tyre: { grip: 1.3 }, found: [crack] }",
                       .stint = "{ out: 1, hot: 2, cool: 1, park: 5 min }",
                       .event = "{ sessions: 3 }",
                       .base = "{ tyre: { grip: 1.3 } }"});
    assert_ok(mbl_run_plan(r, &err), err);
    json_t *root = json_of(r);
    const json_t *pedal = get(root, "pedal");
    assert_true(real(pedal, "effort") == r->pedal.effort);
    assert_true(real(get(pedal, "pressure"), "rear") == r->pedal.pressure[1]);
    assert_true(real(get(pedal, "panic"), "front") == r->pedal.panic[0]);
    assert_true(real(get(pedal, "travel"), "used") == r->pedal.travel.used);
    assert_true(real(get(get(pedal, "travel"), "volume"), "gap") == r->pedal.travel.gap);
    assert_true(json_is_null(get(pedal, "run_out"))); /* no booster */
    const json_t *balance = get(root, "balance");
    assert_true(real(balance, "front") == r->balance.front);
    assert_true(real(get(balance, "first_lock"), "deceleration") == r->balance.lock.deceleration);
    assert_true(real(get(balance, "least_ahead"), "ahead") == r->balance.ahead);
    const json_t *life = get(get(get(root, "axles"), "rear"), "life");
    assert_true(real(get(life, "pad"), "after_event") == r->axle[1].life.pad_event);
    assert_true(real(get(life, "rotor"), "crack_indicator") == r->axle[1].life.crack);
    assert_true(real(get(root, "mass"), "unsprung") == r->weights.unsprung);
    assert_true(real(get(root, "cost"), "parts") == 200);
    const json_t *plan = get(root, "plan");
    assert_true(real(get(plan, "cool_down_skipped"), "margin") == r->plan->skip_margin);
    assert_string_equal(word(get(plan, "worst_line"), "verdict"), "fails"); /* the crack */
    const json_t *against = get(root, "against");
    assert_true(json_is_null(get(against, "effort"))); /* the base has no pedal */
    assert_true(isfinite(real(against, "pressure")));
    assert_true(json_array_size(get(against, "rows")) > 10);
    const json_t *base = get(against, "base");
    assert_string_equal(word(base, "verdict"), mbl_verdict_word(r->base->verdict));
    assert_int_equal(json_array_size(get(base, "checks")), r->base->nchecks);
    assert_true(json_is_null(get(get(base, "pedal"), "travel")));
    bool found = false;
    const json_t *checks = get(root, "checks");
    for (size_t i = 0; i < json_array_size(checks); i++) {
        const json_t *o = json_array_get(checks, i);
        if (strcmp(word(o, "kind"), "inspection") != 0)
            continue;
        assert_string_equal(word(o, "axle"), "car");
        found = true;
    }
    assert_true(found);
    assert_has(word(root, "verdict_text"), "FAILS: crack found: stop;");
    json_decref(root);
    mbl_run_free(r);
}

static void json_without_pedal_plan_or_base_has_nulls_there(void **state)
{
    (void)state;
    json_t *root = json_of(run);
    assert_true(json_is_null(get(root, "plan")));
    assert_true(json_is_null(get(root, "against")));
    assert_true(json_is_null(get(get(root, "pedal"), "effort")));
    assert_true(json_is_null(get(get(root, "balance"), "first_lock")));
    assert_true(real(get(get(root, "pedal"), "pressure"), "front") == run->pedal.pressure[0]);
    assert_true(real(get(root, "course"), "braking_inferred_share") == 1);
    json_decref(root);
}

static void what_never_happened_is_null(void **state)
{
    (void)state;
    mbl_run *short_run = told_run(trace, "[[out]]", "{}");
    json_t *root = json_of(short_run);
    assert_true(json_is_null(get(root, "reach")));
    const json_t *front = get(get(root, "axles"), "front");
    const json_t *passed = get(get(front, "fluid"), "wet_passed");
    assert_true(json_is_null(get(passed, "lap")));
    assert_true(json_is_null(get(passed, "parked_s")));
    assert_true(json_is_null(get(get(get(front, "nodes"), "fluid"), "parked")));
    /* no distance column in the generated session */
    assert_true(json_is_null(get(get(root, "course"), "distance_ratio")));
    json_decref(root);
    mbl_node *tree = short_run->tree;
    short_run->tree = NULL;
    root = json_of(short_run);
    assert_true(json_is_null(get(root, "assumptions")));
    json_decref(root);
    short_run->tree = tree;
    mbl_run_free(short_run);
}

static void the_same_run_gives_the_same_bytes_and_says_nothing_of_the_machine(void **state)
{
    (void)state;
    char *a = json_text_of(run);
    char *b = json_text_of(run);
    assert_string_equal(a, b);
    assert_null(strstr(a, folder));
    assert_null(strstr(a, MBL_BINARY_DIR));
    free(a);
    free(b);
}

static void a_folder_that_is_not_there_is_an_error_and_leaves_nothing(void **state)
{
    (void)state;
    mbl_error err = {0};
    const char *path = in_folder("missing/run.csv");
    assert_int_equal(mbl_out_run_csv(run, path, 1, MBL_UNITS_SI, &err), MBL_FILE);
    assert_has(err.text, "missing/run.csv");
    assert_int_equal(access(path, F_OK), -1);
    err = (mbl_error){0};
    path = in_folder("missing/run.json");
    assert_int_equal(mbl_out_run_json(run, path, &err), MBL_FILE);
    assert_has(err.text, "missing/run.json");
    assert_int_equal(access(path, F_OK), -1);
}

static void what_cannot_be_replaced_is_left_as_it_was(void **state)
{
    (void)state;
    /* a folder of that name cannot be renamed over; the temporary file must go, which the
     * tear-down checks by removing the outer folder */
    const char *path = in_folder("taken");
    assert_int_equal(mkdir(path, 0700), 0);
    mbl_error err = {0};
    assert_int_equal(mbl_out_run_csv(run, path, 5, MBL_UNITS_SI, &err), MBL_FILE);
    err = (mbl_error){0};
    assert_int_equal(mbl_out_run_json(run, path, &err), MBL_FILE);
    struct stat info;
    assert_int_equal(stat(path, &info), 0);
    assert_true(S_ISDIR(info.st_mode));
    assert_int_equal(rmdir(path), 0);
}

/* A limit on the size of files stands in for a full disk. */
static void a_full_disk_is_an_error_and_keeps_the_old_file(void **state)
{
    (void)state;
    const char *path = in_folder("old");
    FILE *old = fopen(path, "w");
    assert_non_null(old);
    fputs("old", old);
    assert_int_equal(fclose(old), 0);
    struct rlimit before;
    assert_int_equal(getrlimit(RLIMIT_FSIZE, &before), 0);
    struct rlimit small = {.rlim_cur = 10000, .rlim_max = before.rlim_max};
    void (*handler)(int) = signal(SIGXFSZ, SIG_IGN);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &small), 0);
    mbl_error csv = {0};
    mbl_error json = {0};
    mbl_status csv_status = mbl_out_run_csv(run, path, 1, MBL_UNITS_SI, &csv);
    mbl_status json_status = mbl_out_run_json(run, path, &json);
    assert_int_equal(setrlimit(RLIMIT_FSIZE, &before), 0);
    signal(SIGXFSZ, handler);
    assert_int_equal(csv_status, MBL_FILE);
    assert_int_equal(json_status, MBL_FILE);
    assert_has(csv.text, "cannot write");
    assert_has(json.text, "cannot write");
    char *kept = test_take(path);
    assert_string_equal(kept, "old");
    free(kept);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(csv_has_names_then_units_then_rows_as_wide_as_they_are),
        cmocka_unit_test(csv_rows_carry_phases_laps_and_the_peaks_of_the_run),
        cmocka_unit_test(csv_in_american_units_says_so_and_means_it),
        cmocka_unit_test(csv_refuses_rates_out_of_range),
        cmocka_unit_test(json_comes_back_with_the_same_doubles),
        cmocka_unit_test(json_has_verdict_checks_laps_and_reach),
        cmocka_unit_test(json_lists_every_input_with_its_source),
        cmocka_unit_test(json_has_pedal_balance_life_mass_and_money),
        cmocka_unit_test(json_without_pedal_plan_or_base_has_nulls_there),
        cmocka_unit_test(what_never_happened_is_null),
        cmocka_unit_test(the_same_run_gives_the_same_bytes_and_says_nothing_of_the_machine),
        cmocka_unit_test(a_folder_that_is_not_there_is_an_error_and_leaves_nothing),
        cmocka_unit_test(what_cannot_be_replaced_is_left_as_it_was),
        cmocka_unit_test(a_full_disk_is_an_error_and_keeps_the_old_file),
    };
    return cmocka_run_group_tests(tests, set_up, tear_down);
}
