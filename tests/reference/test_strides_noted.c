/* SPDX-License-Identifier: MIT */
/*
 * What strides note and add up on the way through two laps, against the fixed grid: wear, strain,
 * watches, the hardest application, what a cap leaves undone; and nodes of one's own.
 */
#include "support/coupe.h"
#include "support/lanes.h"
#include "support/random_car.h"
#include "support/session.h"
#include "support/strides.h"

enum { PER = 4 };

/* Two laps of one car both ways, with all that a record can hold. */
typedef struct noted {
    mbl_block *b;
    double peak[64], peak_at[64];
    mbl_watch watch[3];
    mbl_span span[2];
    mbl_hardest hardest;
    mbl_record record;
} noted;

static void start_noted(noted *x, const mbl_car *car)
{
    memset(x, 0, sizeof *x);
    x->b = random_car_block(car, 300);
    x->watch[0] = (mbl_watch){.node = MBL_FACE, .level = {650}};
    x->watch[1] = (mbl_watch){.node = MBL_CORE, .level = {450}};
    x->watch[2] = (mbl_watch){.node = mbl_corner_index(1, MBL_PAD_FACE), .level = {420}};
    for (int axle = 0; axle < 2; axle++)
        x->span[axle] = (mbl_span){.hot = mbl_corner_index(axle, MBL_FACE),
                                   .cold = mbl_corner_index(axle, MBL_CORE)};
    x->record = (mbl_record){.peak = x->peak,
                             .peak_at = x->peak_at,
                             .nwatches = 3,
                             .watch = x->watch,
                             .nspans = 2,
                             .span = x->span,
                             .hardest = &x->hardest};
    mbl_record_clear(x->b, &x->record, 0);
}

/* `a` by strides of the default mode, `g` by the grid. */
static void drive_noted(const mbl_car *car, double cap, noted *a, noted *g)
{
    mbl_trace *trace = test_session(&drive_harrow_vale, 2);
    mbl_car coupe = test_coupe();
    strides s;
    strides_lap(trace, &coupe, &s);
    start_noted(a, car);
    start_noted(g, car);
    a->b->cap[0] = g->b->cap[0] = cap;
    assert_true(mbl_model_macro(a->b->model[0]) > 0);
    strides_cut(&s, a->b->model[0], MBL_MODE_DEFAULT);
    for (int lap = 0; lap < 2; lap++) {
        a->record.offset = g->record.offset = lap * s.fine.time[s.fine.n];
        strides_run(a->b, &s, &a->record);
        lane_wear(a->b, 0, car);
        strides_fixed(g->b, &s, PER, &g->record, NULL, NULL);
        lane_wear(g->b, 0, car);
    }
    strides_free(&s);
    mbl_trace_drop(trace);
}

static void free_noted(noted *a, noted *g)
{
    mbl_block_free(a->b);
    mbl_block_free(g->b);
}

static double furthest(const noted *a, const noted *g)
{
    double off = 0;
    for (int n = 0; n < a->b->model[0]->nnodes; n++) {
        off = fmax(off, fabs(a->b->T[n] - g->b->T[n]));
        off = fmax(off, fabs(a->peak[n] - g->peak[n]));
    }
    return off;
}

static void wear_cycles_and_cracks_are_those_of_a_fixed_grid(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.front.pad.wear = 4e-12;
    car.rear.pad.wear = 9e-13;
    car.front.pad.wear_effect = (mbl_curve){.n = 2, .x = {400, 900}, .y = {1, 6}};
    static noted a, g;
    drive_noted(&car, MBL_NO_CAP, &a, &g);
    for (int c = 0; c < 2; c++) {
        printf("axle %d: worn %.4g against %.4g m3, cracks %.4g against %.4g, cycles %g, %g\n", c,
               a.b->worn[c], g.b->worn[c], a.b->crack[c], g.b->crack[c], a.b->cycles[c],
               g.b->cycles[c]);
        assert_true(g.b->worn[c] > 0 && (c > 0 || g.b->crack[c] > 0));
        assert_close(a.b->worn[c], g.b->worn[c], 2e-3);
        /* the widest is seen at the ends of steps: two kelvins short of 80 above where a skin flows
         */
        assert_close(a.b->crack[c], g.b->crack[c], 0.06);
        assert_near(a.b->cycles[c], g.b->cycles[c], 0);
        assert_close(a.b->work[c], g.b->work[c], 1e-3);
    }
    assert_true(furthest(&a, &g) < 0.8);
    free_noted(&a, &g);
}

static void spans_watches_and_the_hardest_application_are_those_of_a_fixed_grid(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    static noted a, g;
    drive_noted(&car, MBL_NO_CAP, &a, &g);
    for (int k = 0; k < 2; k++) {
        printf("span %.2f against %.2f K\n", a.span[k].peak[0], g.span[k].peak[0]);
        assert_true(g.span[k].peak[0] > 50);
        assert_near(a.span[k].peak[0], g.span[k].peak[0], 2.5); /* at the ends of steps */
    }
    for (int k = 0; k < 3; k++) {
        printf("above for %.3f against %.3f s\n", a.watch[k].above[0], g.watch[k].above[0]);
        assert_true(g.watch[k].above[0] > 1);
        assert_close(a.watch[k].above[0], g.watch[k].above[0], 0.01);
        assert_near(a.watch[k].first[0], g.watch[k].first[0], 2.0); /* the longest step */
    }
    printf("hardest %.4g at %.3f m/s against %.4g Pa at %.3f m/s\n", a.hardest.pressure[0],
           a.hardest.speed[0], g.hardest.pressure[0], g.hardest.speed[0]);
    assert_close(a.hardest.pressure[0], g.hardest.pressure[0], 0.02);
    assert_close(a.hardest.force[0], g.hardest.force[0], 0.02);
    assert_near(a.hardest.speed[0], g.hardest.speed[0], 1.0);
    assert_near(a.hardest.at[0], g.hardest.at[0], 0.2);
    for (int c = 0; c < 2; c++)
        assert_near(a.hardest.mu[c][0], g.hardest.mu[c][0], 0.005);
    free_noted(&a, &g);
}

/* ---- pressure ---- */

static void friction_by_pressure_and_speed_and_a_valve_agree_with_a_fixed_grid(void **state)
{
    (void)state;
    mbl_car car = test_coupe_with(test_pedal_valve);
    car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.06, 0.90}};
    car.rear.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {0.97, 1.04}};
    car.front.pad.speed_effect = (mbl_curve){.n = 3, .x = {0, 30, 80}, .y = {1.05, 1.0, 0.85}};
    static noted a, g;
    drive_noted(&car, MBL_NO_CAP, &a, &g);
    printf("worst end or peak %.3f K\n", furthest(&a, &g));
    assert_true(furthest(&a, &g) < 1.0);
    /* the rear is held back as much: its share of the work */
    for (int c = 0; c < 2; c++)
        assert_close(a.b->work[c], g.b->work[c], 1e-3);
    assert_close(a.hardest.pressure[0], g.hardest.pressure[0], 0.02);
    free_noted(&a, &g);
}

static void a_cap_leaves_as_much_undone_as_on_a_fixed_grid(void **state)
{
    (void)state;
    static const double caps[] = {2.2e6, 2.8e6, 4e6};
    for (size_t i = 0; i < sizeof caps / sizeof caps[0]; i++) {
        mbl_car car = test_coupe_with(test_pedal_valve);
        car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 1e7}, .y = {1.06, 0.90}};
        static noted a, g;
        drive_noted(&car, caps[i], &a, &g);
        double got = a.b->shortfall[0];
        double want = g.b->shortfall[0];
        printf("cap %.1f MPa: shortfall %.1f against %.1f kJ, worst end or peak %.3f K\n",
               1e-6 * caps[i], 1e-3 * got, 1e-3 * want, furthest(&a, &g));
        assert_true(want > 1e3);
        assert_close(got, want, 0.01);
        assert_close(2 * a.b->heat[0] + got, 2 * g.b->heat[0] + want, 1e-12);
        assert_near(a.hardest.pressure[0], caps[i], 0);
        assert_true(furthest(&a, &g) < 1.0);
        free_noted(&a, &g);
    }
}

/* ---- nodes of one's own ---- */

static void put_own(mbl_brake *b, double capacity, double conductance, const char *to)
{
    b->nodes.n = 1;
    b->nodes.v[0] = (mbl_extra_node){.name = "own", .capacity = capacity};
    b->links.n = 2;
    b->links.v[0] = (mbl_extra_link){.from = "own", .conductance = conductance};
    snprintf(b->links.v[0].to, sizeof b->links.v[0].to, "%s", to);
    b->links.v[1] = (mbl_extra_link){.from = "own", .to = "ambient", .conductance = 2};
}

/* Hung from slow nodes and from every place of a chain that is open, lightly and so that it drains
 * it. */
static void a_slow_node_of_ones_own_agrees_with_a_fixed_grid(void **state)
{
    (void)state;
    static const char *const to[] = {"caliper",      "hub",        "pad.body2", "pad.plate",
                                     "rotor.layer3", "rotor.core", "rotor.face"};
    for (size_t i = 0; i < sizeof to / sizeof to[0]; i++) {
        for (double conductance = 20; conductance < 1000; conductance *= 20) {
            mbl_car car = test_coupe();
            put_own(&car.front, 40 * conductance, conductance, to[i]);
            static noted a, g;
            drive_noted(&car, MBL_NO_CAP, &a, &g);
            int own = mbl_model_node(a.b->model[0], "front.own");
            double off = fabs(a.b->T[own] - g.b->T[own]);
            printf("%g W/K to %s: own node %.1f K, off by %.3f K; worst %.3f K\n", conductance,
                   to[i], g.b->T[own], off, furthest(&a, &g));
            assert_true(g.b->T[own] > 300.5);
            /* the planner knows nothing of a link that drains a face */
            assert_true(off < 0.2 && furthest(&a, &g) < (conductance > 100 ? 1.5 : 1.0));
            assert_near(mbl_block_residual(a.b, 0), 0, 1e-12);
            free_noted(&a, &g);
        }
    }
}

static void a_quick_node_of_ones_own_shortens_the_macro_step_until_there_is_none(void **state)
{
    (void)state;
    /* J/K, hung from the hub by 100 W/K, 2 to the air: a fifth of its heat a macro step at most */
    static const double capacity[] = {5e4, 290, 200, 110, 57, 20};
    static const double want[] = {2.0, 0.2 * 290 / 102, 0.2 * 200 / 102, 0.2 * 110 / 102, 0, 0};
    for (size_t i = 0; i < sizeof want / sizeof want[0]; i++) {
        mbl_car car = test_coupe();
        put_own(&car.front, capacity[i], 100, "hub");
        mbl_block *b = random_car_block(&car, 300);
        assert_close(mbl_model_macro(b->model[0]), want[i], 1e-12);
        mbl_block_free(b);
        if (want[i] <= 0)
            continue;
        static noted a, g;
        drive_noted(&car, MBL_NO_CAP, &a, &g);
        printf("%g J/K: macro %.3f s, worst %.3f K\n", capacity[i], want[i], furthest(&a, &g));
        assert_true(furthest(&a, &g) < 0.8);
        free_noted(&a, &g);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(wear_cycles_and_cracks_are_those_of_a_fixed_grid),
        cmocka_unit_test(spans_watches_and_the_hardest_application_are_those_of_a_fixed_grid),
        cmocka_unit_test(friction_by_pressure_and_speed_and_a_valve_agree_with_a_fixed_grid),
        cmocka_unit_test(a_cap_leaves_as_much_undone_as_on_a_fixed_grid),
        cmocka_unit_test(a_slow_node_of_ones_own_agrees_with_a_fixed_grid),
        cmocka_unit_test(a_quick_node_of_ones_own_shortens_the_macro_step_until_there_is_none),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
