/* SPDX-License-Identifier: MIT */
/*
 * The strides against the fixed grid, which is itself held against CVODE in test_cvode.c: their
 * order, and whole laps of generated courses.
 */
#include "reference/bench.h"
#include "support/coupe.h"
#include "support/lanes.h"
#include "support/random_car.h"
#include "support/session.h"
#include "support/strides.h"

enum { NODES = MBL_AXLES * MBL_CORNER_NODES, SAMPLES = 6000, PER = 4 };

/* ---- order ---- */

static const double duration = 8.192;
enum { HALVINGS = 5, REFERENCE = 1 << 15 };

/* Between 30 and 34 m/s, between 0 and 200 kW; energy and its moment about 0 until t. */
static double speed_at(double t)
{
    return 32 + 2 * cos(2 * M_PI * t / duration);
}

static double energy_until(double t)
{
    double w = 2 * M_PI / 4.096;
    return 1e5 * (t - sin(w * t) / w);
}

static double moment_until(double t)
{
    double w = 2 * M_PI / 4.096;
    return 1e5 * (0.5 * t * t - t * sin(w * t) / w - cos(w * t) / (w * w));
}

/* The coupe with friction that has no kinks, warm; without films and radiation when `shut`. */
static mbl_block *smooth_block(bool shut)
{
    mbl_car car = test_coupe();
    car.front.pad.friction = (mbl_curve){.n = 1, .x = {300}, .y = {0.42}};
    car.rear.pad.friction = (mbl_curve){.n = 1, .x = {300}, .y = {0.40}};
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    assert_int_equal(mbl_corner_build(&net, &car, 300, 101325, NULL, NULL), MBL_OK);
    for (int k = 0; shut && k < net.nlinks; k++) {
        if (net.link[k].kind == MBL_LINK_FILM || net.link[k].kind == MBL_LINK_RADIATION)
            net.link[k].value *= 1e-12;
    }
    mbl_block *b = bench_block(&net, 300);
    for (int i = 0; i < NODES; i++)
        mbl_block_set(b, 0, i, 420 + 15 * (i % MBL_CORNER_NODES));
    return b;
}

static void drive_grid(bool shut, double T[NODES])
{
    static double time[REFERENCE + 1], speed[REFERENCE + 1], power[REFERENCE];
    double dt = duration / REFERENCE;
    for (int k = 0; k <= REFERENCE; k++) {
        time[k] = dt * k;
        speed[k] = speed_at(time[k]);
        if (k > 0)
            power[k - 1] = (energy_until(time[k]) - energy_until(time[k - 1])) / dt;
    }
    mbl_block *b = smooth_block(shut);
    mbl_inputs in = {.time = time, .speed = speed, .power = power};
    mbl_block_run(b, &in, 0, REFERENCE, NULL);
    memcpy(T, b->T, NODES * sizeof *T);
    mbl_block_free(b);
}

/* n even steps, four to a macro step, each with the energy and the first moment of the load. */
static void drive_strides(bool shut, int n, double T[NODES])
{
    static mbl_stride step[64 << HALVINGS];
    double dt = duration / n;
    for (int k = 0; k < n; k++) {
        double a = dt * k;
        double c = dt * (k + 1);
        double energy = energy_until(c) - energy_until(a);
        double moment = moment_until(c) - moment_until(a) - 0.5 * (a + c) * energy;
        step[k] = (mbl_stride){.dt = dt,
                               .v0 = speed_at(a),
                               .v1 = speed_at(c),
                               .power = energy / dt,
                               .slope = 12 * moment / (dt * dt * dt),
                               .afresh = k == 0};
        if (k % 4 == 0) {
            step[k].macro_dt = 4 * dt;
            step[k].macro_v1 = speed_at(a + 4 * dt);
        }
    }
    mbl_block *b = smooth_block(shut);
    mbl_block_stride(b, step, 0, (size_t)n, 0, NULL);
    memcpy(T, b->T, NODES * sizeof *T);
    mbl_block_free(b);
}

/* Lowest order seen while steps of 0.128 s are halved, and the errors of first and last. */
static double observed_order(bool shut, double *first, double *last)
{
    double exact[NODES];
    double T[NODES];
    double lowest = INFINITY;
    drive_grid(shut, exact);
    for (int i = 0; i < HALVINGS; i++) {
        double error = 0;
        drive_strides(shut, 64 << i, T);
        for (int k = 0; k < NODES; k++)
            error = fmax(error, fabs(T[k] - exact[k]));
        double order = i > 0 ? log2(*last / error) : INFINITY;
        printf("step %.4f s: error %.3e K, order %.3f\n", duration / (64 << i), error, order);
        lowest = fmin(lowest, order);
        *first = i == 0 ? error : *first;
        *last = error;
    }
    return lowest;
}

static void halving_steps_and_macro_steps_quarters_the_error(void **state)
{
    (void)state;
    double first = 0;
    double last = 0;
    assert_true(observed_order(true, &first, &last) > 1.9);
    assert_true(last < first / 180); /* of 256 */
}

/*
 * Conductances of radiation are those of the temperatures at the start of a step; films lean by the
 * slope of their laws and are read off them at the ends of macro steps. That is of order 1, with so
 * small a share that it shows below 0.01 s only.
 */
static void films_and_radiation_lag_by_little(void **state)
{
    (void)state;
    double first = 0;
    double last = 0;
    assert_true(observed_order(false, &first, &last) > 1.7);
    assert_true(first < 0.15 && last < first / 150);
}

/* ---- laps ---- */

enum { LAPS = 3, CARS = 7, MODES = MBL_MODE_REFERENCE }; /* those before it */

/* K: at the ends of steps, but pads; of pads there; of peaks of the stint; of peaks of a lap. */
typedef struct bounds {
    double ends, pads, stint, lap;
} bounds;

static const bounds promised[MODES] = {[MBL_MODE_DEFAULT] = {1.0, 1.0, 0.5, 1.0},
                                       [MBL_MODE_FINE] = {0.5, 0.5, 0.25, 0.5},
                                       [MBL_MODE_SCREENING] = {10, 10, 5, 5}};

typedef struct worst {
    double off, at;
    int node, lap;
} worst;

static void note_worst(worst *w, double off, int node, int lap, double at)
{
    if (!(off <= w->off)) /* NaN too */
        *w = (worst){off, at, node, lap};
}

typedef struct result {
    worst ends, pads, stint, lap;
    double peak[NODES]; /* K, of the stint */
} result;

static double history[SAMPLES + 1][NODES];
static mbl_block *watched;

static void keep_history(void *ctx, size_t k)
{
    (void)ctx;
    memcpy(history[k + 1], watched->T, sizeof history[0]);
}

static bool is_slow(const mbl_model *m, int node)
{
    for (int i = 0; i < m->stride.nslow; i++) {
        if (m->stride.slow[i] == node)
            return true;
    }
    return false;
}

static bool is_pad(int node)
{
    int n = node % MBL_CORNER_NODES;
    return n == MBL_PAD_FACE || n == MBL_PAD_BODY1 || n == MBL_PAD_BODY2;
}

/* One lap against the history of the grid. Slow nodes count where a macro step ends: within one
 * they stand still. */
static void lap_by_strides(mbl_block *b, const strides *s, mbl_record *record, int lap, result *r)
{
    double t = 0;
    size_t at = 0;
    mbl_record_clear(b, record, 0);
    for (size_t i = 0; i < s->n; i++) {
        mbl_block_stride(b, s->step, i, i + 1, t, record);
        t += s->step[i].dt;
        while (at < s->fine.n && s->fine.time[at] < t - 1e-6)
            at++;
        bool macro_ends = i + 1 == s->n || s->step[i + 1].macro_dt > 0;
        for (int n = 0; n < NODES; n++) {
            if (macro_ends || !is_slow(b->model[0], n))
                note_worst(is_pad(n) ? &r->pads : &r->ends, fabs(b->T[n] - history[at][n]), n, lap,
                           t);
        }
    }
}

/* The same laps by the grid, and by strides of each mode. */
static void compare_laps(const mbl_car *car, strides *s, result r[MODES])
{
    static double grid_peak[NODES], grid_at[NODES], peak[NODES], at[NODES];
    mbl_record grid_record = {.peak = grid_peak, .peak_at = grid_at};
    mbl_record record = {.peak = peak, .peak_at = at};
    double highest[NODES] = {0};
    mbl_block *grid = random_car_block(car, 300);
    mbl_block *b[MODES];
    for (int m = 0; m < MODES; m++)
        b[m] = lanes_made(car, 1, m == MBL_MODE_SCREENING);
    assert_true(s->fine.n <= SAMPLES);
    for (int lap = 0; lap < LAPS; lap++) {
        watched = grid;
        memcpy(history[0], grid->T, sizeof history[0]);
        mbl_record_clear(grid, &grid_record, 0);
        strides_fixed(grid, s, PER, &grid_record, keep_history, NULL);
        for (int n = 0; n < NODES; n++)
            highest[n] = fmax(highest[n], grid_peak[n]);
        for (int m = 0; m < MODES; m++) {
            strides_cut(s, grid->model[0], (mbl_mode)m);
            lap_by_strides(b[m], s, &record, lap, &r[m]);
            for (int n = 0; n < NODES; n++) {
                note_worst(&r[m].lap, fabs(peak[n] - grid_peak[n]), n, lap, at[n]);
                r[m].peak[n] = fmax(r[m].peak[n], peak[n]);
            }
        }
    }
    for (int m = 0; m < MODES; m++) {
        for (int n = 0; n < NODES; n++)
            note_worst(&r[m].stint, fabs(r[m].peak[n] - highest[n]), n, LAPS - 1, 0);
        assert_near(mbl_block_residual(b[m], 0), 0, m == MBL_MODE_SCREENING ? 1e-5 : 1e-12);
        mbl_block_free(b[m]);
    }
    mbl_block_free(grid);
}

/* The lap of a trace, for a car whose rings take as much heat a kilogram as those of the coupe. */
static void lap_of(const mbl_trace *trace, const mbl_car *car, bool noisy, strides *s)
{
    mbl_car coupe = test_coupe();
    strides_lap(trace, &coupe, s);
    double iron = (car->front.rotor.ring_mass + car->rear.rotor.ring_mass) /
                  (coupe.front.rotor.ring_mass + coupe.rear.rotor.ring_mass);
    for (size_t k = 0; k < s->fine.n; k++)
        s->fine.power[k] *= iron;
    if (noisy)
        strides_noise(s, 0.15, 7);
}

static mbl_car car_of(int which)
{
    mbl_car car = which == 0 ? test_coupe() : random_car((uint64_t)which);
    car.front.pad.wear = 0;
    car.rear.pad.wear = 0;
    return car;
}

static bool within(const char *what, const worst *w, double bound)
{
    bool good = w->off <= bound;
    if (!good)
        printf("    %s %.3f K, promised %.2f (%s.%s, lap %d, %.2f s)\n", what, w->off, bound,
               mbl_axle_word(w->node / MBL_CORNER_NODES),
               mbl_corner_key((mbl_corner_node)(w->node % MBL_CORNER_NODES)), w->lap + 1, w->at);
    return good;
}

static void check_course(const drive_course *course)
{
    mbl_trace *trace = test_session(course, 2);
    bool good = true;
    for (int which = 0; which < CARS; which++) {
        mbl_car car = car_of(which);
        for (int noisy = 0; noisy < 2; noisy++) {
            strides s;
            result r[MODES];
            memset(r, 0, sizeof r);
            lap_of(trace, &car, noisy, &s);
            compare_laps(&car, &s, r);
            for (int m = 0; m < MODES; m++) {
                const bounds *bound = &promised[m];
                printf("car %d, %s, %s: ends %.3f, pads %.3f, stint peaks %.3f, lap peaks %.3f K\n",
                       which, noisy ? "noisy" : "clean", mbl_mode_word((mbl_mode)m), r[m].ends.off,
                       r[m].pads.off, r[m].stint.off, r[m].lap.off);
                good &= within("ends of steps", &r[m].ends, bound->ends);
                good &= within("pads at ends", &r[m].pads, bound->pads);
                good &= within("stint peaks", &r[m].stint, bound->stint);
                good &= within("lap peaks", &r[m].lap, bound->lap);
            }
            strides_free(&s);
        }
    }
    mbl_trace_drop(trace);
    assert_true(good);
}

static void laps_of_a_mixed_course_agree_with_a_fixed_grid(void **state)
{
    (void)state;
    check_course(&drive_harrow_vale);
}

static void laps_of_a_fast_course_agree_with_a_fixed_grid(void **state)
{
    (void)state;
    check_course(&drive_long_mead);
}

static void laps_of_stop_and_go_agree_with_a_fixed_grid(void **state)
{
    (void)state;
    check_course(&drive_cold_quay);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(halving_steps_and_macro_steps_quarters_the_error),
        cmocka_unit_test(films_and_radiation_lag_by_little),
        cmocka_unit_test(laps_of_a_mixed_course_agree_with_a_fixed_grid),
        cmocka_unit_test(laps_of_a_fast_course_agree_with_a_fixed_grid),
        cmocka_unit_test(laps_of_stop_and_go_agree_with_a_fixed_grid),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
