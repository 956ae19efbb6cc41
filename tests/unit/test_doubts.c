/* SPDX-License-Identifier: MIT */
/* What a log and its trace are doubted for, and at which value the doubt begins. */
#include "road/trace.h"
#include "support/test.h"

enum { N = 400 };
static int lines[N];
static double t[N], v[N];

/* A log and a trace of it with nothing to doubt: 20 s at 20 Hz, to rest at the end. */
typedef struct pair {
    mbl_log log;
    mbl_trace trace;
    mbl_doubt doubt[MBL_DOUBTS];
} pair;

static pair good(void)
{
    for (int i = 0; i < N; i++) {
        lines[i] = i + 2;
        t[i] = 0.05 * i;
        v[i] = i < 200 ? 20 + 0.1 * i : fmax(0, 40 - 0.3 * (i - 200));
    }
    return (pair){.log = {.rows = N, .rate = 20, .line = lines, .t = t, .v = v},
                  .trace = {.n = N, .t = t, .v = v, .has_grade = true, .distance_ratio = 1.02}};
}

/* Fails unless just this one is found; MBL_DOUBTS for none. */
static void assert_doubts(pair *p, mbl_doubt_kind kind)
{
    mbl_doubts_find(&p->log, &p->trace, p->doubt);
    for (int k = 0; k < MBL_DOUBTS; k++)
        if (p->doubt[k].found != (k == (int)kind))
            fail_msg("%s: %d", mbl_doubt_text((mbl_doubt_kind)k), p->doubt[k].found);
}

static void a_good_log_is_not_doubted(void **state)
{
    (void)state;
    pair p = good();
    assert_doubts(&p, MBL_DOUBTS);
    p.trace.distance_ratio = NAN;
    p.trace.pressure = v;
    p.trace.measured = true;
    assert_doubts(&p, MBL_DOUBTS);
}

static void an_end_at_speed_is_doubted(void **state)
{
    (void)state;
    pair p = good();
    v[N - 1] = v[N - 2] = v[N - 3] = v[N - 4] = v[N - 5] = 5.5;
    assert_doubts(&p, MBL_DOUBTS);
    v[N - 1] = 5.6;
    assert_doubts(&p, MBL_DOUBT_ENDS_AT_SPEED);
    assert_near(p.doubt[MBL_DOUBT_ENDS_AT_SPEED].value, 5.6, 0);
    assert_int_equal(p.doubt[MBL_DOUBT_ENDS_AT_SPEED].line, 401);
}

static void a_log_without_altitude_is_doubted(void **state)
{
    (void)state;
    pair p = good();
    p.trace.has_grade = false;
    assert_doubts(&p, MBL_DOUBT_NO_ALTITUDE);
}

static void distance_that_is_not_speed_is_doubted(void **state)
{
    (void)state;
    static const double ratios[] = {0.969, 1.031};
    for (size_t k = 0; k < 2; k++) {
        pair p = good();
        p.trace.distance_ratio = ratios[k];
        assert_doubts(&p, MBL_DOUBT_DISTANCE);
        assert_near(p.doubt[MBL_DOUBT_DISTANCE].value, ratios[k], 0);
    }
}

static void power_that_no_car_has_is_doubted(void **state)
{
    (void)state;
    /* 20 to sqrt(400 + 2 x 600 x 0.5) = 31.623 m/s in half a second is 600 W/kg */
    static const double tops[] = {31.5, 31.7};
    for (size_t k = 0; k < 2; k++) {
        pair p = good();
        for (int i = 0; i < 100; i++)
            v[i] = i < 60 ? 20 : i <= 70 ? 20 + (tops[k] - 20) * (i - 60) / 10 : tops[k];
        for (int i = 100; i < N; i++)
            v[i] = i < 200 ? tops[k] : fmax(0, tops[k] - 0.3 * (i - 200));
        assert_doubts(&p, k == 0 ? MBL_DOUBTS : MBL_DOUBT_POWER);
    }
    pair p = good();
    for (int i = 61; i < 200; i++)
        v[i] = 50;
    mbl_doubts_find(&p.log, &p.trace, p.doubt);
    assert_true(p.doubt[MBL_DOUBT_POWER].found);
    /* (2500 - 26^2) / 2 over half a second; it ends with the jump */
    assert_near(p.doubt[MBL_DOUBT_POWER].value, (2500 - 25.1 * 25.1) / 2 / 0.5, 70);
    assert_near(p.doubt[MBL_DOUBT_POWER].line, 53, 1);
}

static void deceleration_that_no_tyre_gives_is_doubted(void **state)
{
    (void)state;
    static const double slowing[] = {29, 31};
    for (size_t k = 0; k < 2; k++) {
        pair p = good();
        for (int i = 200; i < N; i++)
            v[i] = fmax(0, 40 - slowing[k] * 0.05 * (i - 200));
        assert_doubts(&p, k == 0 ? MBL_DOUBTS : MBL_DOUBT_DECELERATION);
    }
}

static void coarse_speed_and_few_samples_are_doubted(void **state)
{
    (void)state;
    pair p = good();
    p.trace.step = 0.2;
    assert_doubts(&p, MBL_DOUBTS);
    p.trace.step = 1 / 3.6;
    assert_doubts(&p, MBL_DOUBT_COARSE);
    p = good();
    p.log.rate = 2;
    assert_doubts(&p, MBL_DOUBTS);
    p.log.rate = 1.99;
    assert_doubts(&p, MBL_DOUBT_SLOW);
    assert_near(p.doubt[MBL_DOUBT_SLOW].value, 1.99, 0);
}

static void pressure_that_is_not_used_is_doubted(void **state)
{
    (void)state;
    pair p = good();
    p.trace.pressure = v;
    p.trace.pressure_scatter = 0.4;
    assert_doubts(&p, MBL_DOUBT_PRESSURE);
    assert_near(p.doubt[MBL_DOUBT_PRESSURE].value, 0.4, 0);
}

static void much_bridging_is_doubted(void **state)
{
    (void)state;
    pair p = good();
    p.log.repair[MBL_REPAIR_GAP] = (mbl_repair){1, 7, 7, 0.5};
    p.log.repair[MBL_REPAIR_FROZEN] = (mbl_repair){1, 9, 9, 0.49};
    assert_doubts(&p, MBL_DOUBTS);
    p.log.repair[MBL_REPAIR_FROZEN].amount = 0.51;
    assert_doubts(&p, MBL_DOUBT_BRIDGED);
    assert_near(p.doubt[MBL_DOUBT_BRIDGED].value, 1.01 / 19.95, 1e-9);
}

static void every_doubt_has_its_text(void **state)
{
    (void)state;
    for (int k = 0; k < MBL_DOUBTS; k++)
        assert_true(strlen(mbl_doubt_text((mbl_doubt_kind)k)) > 10);
    assert_string_equal(mbl_doubt_unit(MBL_DOUBT_POWER), "W/kg");
    assert_string_equal(mbl_doubt_text(MBL_DOUBTS), "unknown");
    assert_string_equal(mbl_doubt_unit(MBL_DOUBTS), "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_good_log_is_not_doubted),
        cmocka_unit_test(an_end_at_speed_is_doubted),
        cmocka_unit_test(a_log_without_altitude_is_doubted),
        cmocka_unit_test(distance_that_is_not_speed_is_doubted),
        cmocka_unit_test(power_that_no_car_has_is_doubted),
        cmocka_unit_test(deceleration_that_no_tyre_gives_is_doubted),
        cmocka_unit_test(coarse_speed_and_few_samples_are_doubted),
        cmocka_unit_test(pressure_that_is_not_used_is_doubted),
        cmocka_unit_test(much_bridging_is_doubted),
        cmocka_unit_test(every_doubt_has_its_text),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
