/* SPDX-License-Identifier: MIT */
/*
 * Whole laps and a parked car against CVODE (SUNDIALS; BDF, variable order and step, relative
 * tolerance 1e-8) on the right-hand side that was derived a second time (support/rhs.h). Nothing
 * of the engine's laws, tables or stepper takes part on that side; both are driven by the same
 * channels, whose power is constant within a step.
 *
 * CVODE starts anew wherever power jumps and never steps over a jump, so that no pulse is lost.
 * What is found is the error of the engine's step, and of its tables of films, friction and iron.
 */
#include "reference/bench.h"
#include "support/coupe.h"
#include "support/rhs.h"
#include "support/session.h"
#include "support/strides.h"
#include "support/validation.h"

#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_types.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

enum { LAPS = 3, ROOM = 40000 };

static const double parked = 300; /* s */
static const double ambient = 305.15;
static const double pressure = 101325;

/* Steps of a whole stint, end to end. */
typedef struct stint {
    size_t n;
    size_t nlegs, leg[LAPS + 2]; /* first step of each */
    double end[LAPS + 2];        /* m/s, as it ends: the next may begin at another speed */
    size_t parked;               /* first step at rest */
    double time[ROOM + 1], speed[ROOM + 1], power[ROOM];
} stint;

static void add(stint *s, const mbl_channels *c)
{
    double start = s->time[s->n];
    s->end[s->nlegs] = c->speed[c->n];
    s->leg[s->nlegs++] = s->n;
    for (size_t k = 0; k < c->n; k++) {
        if (s->n == ROOM)
            fail_msg("the stint has more steps than there is room for");
        s->speed[s->n] = c->speed[k];
        s->power[s->n] = c->power[k];
        s->time[s->n + 1] = start + c->time[k + 1];
        s->speed[s->n + 1] = c->speed[k + 1];
        s->n++;
    }
}

/* Hot laps of a generated session, the stop from what speed is left, then parked. */
static void make_stint(const mbl_car *car, const drive_course *course, double step, stint *s)
{
    static double time[ROOM + 1], speed[ROOM + 1], power[ROOM];
    mbl_channels c = {.room = ROOM, .time = time, .speed = speed, .power = power};
    mbl_vehicle body = {.mass = car->mass,
                        .rotating = car->rotating,
                        .drag_area = car->aero.drag_area,
                        .rolling = car->rolling,
                        .engine_braking = car->engine_braking,
                        .air_density = 1.16};
    mbl_trace *trace = test_session(course, LAPS);
    s->n = 0;
    s->nlegs = 0;
    s->time[0] = 0;
    for (size_t lap = 1; lap <= LAPS; lap++) {
        mbl_channels_lap(trace, trace->laps[lap].start, trace->laps[lap].end, 1, &body, 0, &body,
                         step, &c);
        add(s, &c);
    }
    mbl_channels_stop(16, MBL_PIT_DECELERATION, &body, step, &c);
    add(s, &c);
    s->parked = s->n;
    mbl_channels_park(parked, step, mbl_parking_close, &c);
    add(s, &c);
    mbl_trace_drop(trace);
}

/* ---- CVODE ---- */

typedef struct problem {
    const mbl_car *car;
    const stint *s;
    size_t step; /* the power of this step holds */
    size_t near; /* a step near the time asked for last */
} problem;

static double speed_at(problem *p, double t)
{
    const stint *s = p->s;
    while (p->near > 0 && t < s->time[p->near])
        p->near--;
    while (p->near + 1 < s->n && t > s->time[p->near + 1])
        p->near++;
    size_t k = p->near;
    double share = (t - s->time[k]) / (s->time[k + 1] - s->time[k]);
    return s->speed[k] + fmin(fmax(share, 0), 1) * (s->speed[k + 1] - s->speed[k]);
}

static int slope(sunrealtype t, N_Vector T, N_Vector dT, void *ctx)
{
    problem *p = ctx;
    double q[RHS_NODES];
    double C[RHS_NODES];
    double lost;
    rhs_weather w = {.v = speed_at(p, t), .T_air = ambient, .p = pressure};
    rhs_flows(p->car, &w, p->s->power[p->step], N_VGetArrayPointer(T), q, &lost);
    rhs_capacities(p->car, N_VGetArrayPointer(T), C);
    for (int i = 0; i < RHS_NODES; i++)
        N_VGetArrayPointer(dT)[i] = q[i] / C[i];
    return 0;
}

typedef struct solver {
    SUNContext context;
    N_Vector T;
    SUNMatrix matrix;
    SUNLinearSolver linear;
    void *memory;
} solver;

static void must(int flag, const char *what)
{
    if (flag < 0)
        fail_msg("CVODE: %s fails with %d", what, flag);
}

static solver make_solver(problem *p)
{
    solver c = {0};
    must(SUNContext_Create(NULL, &c.context), "context");
    c.T = N_VNew_Serial(RHS_NODES, c.context);
    c.matrix = SUNDenseMatrix(RHS_NODES, RHS_NODES, c.context);
    c.linear = SUNLinSol_Dense(c.T, c.matrix, c.context);
    c.memory = CVodeCreate(CV_BDF, c.context);
    assert_non_null(c.memory);
    N_VConst(ambient, c.T);
    must(CVodeInit(c.memory, slope, 0, c.T), "init");
    must(CVodeSStolerances(c.memory, 1e-8, 1e-6), "tolerances");
    must(CVodeSetUserData(c.memory, p), "user data");
    must(CVodeSetLinearSolver(c.memory, c.linear, c.matrix), "linear solver");
    must(CVodeSetMaxNumSteps(c.memory, 200000), "number of steps");
    return c;
}

static void free_solver(solver *c)
{
    CVodeFree(&c->memory);
    SUNLinSolFree(c->linear);
    SUNMatDestroy(c->matrix);
    N_VDestroy(c->T);
    SUNContext_Free(&c->context);
}

/* To the end of step k; a new start where the power is not what it was. */
static void advance(solver *c, problem *p, size_t k)
{
    const stint *s = p->s;
    if (k > 0 && s->power[k] != s->power[k - 1]) {
        p->step = k;
        must(CVodeReInit(c->memory, s->time[k], c->T), "new start");
    }
    size_t jump = k + 1; /* where the power next changes */
    while (jump < s->n && s->power[jump] == s->power[k])
        jump++;
    must(CVodeSetStopTime(c->memory, s->time[jump]), "stop time");
    double reached;
    must(CVode(c->memory, s->time[k + 1], c->T, &reached, CV_NORMAL), "step");
    assert_near(reached, s->time[k + 1], 1e-9);
}

/* ---- side by side ---- */

typedef struct difference {
    double worst, at; /* K, s */
    int node;
    double hottest;                                /* K */
    double standing;                               /* K, worst while parked */
    double peak[RHS_NODES], exact_peak[RHS_NODES]; /* K */
} difference;

/* The worst difference of the peaks that a run is judged by. */
static double worst_peak(const difference *d)
{
    double worst = 0;
    for (int i = 0; i < RHS_NODES; i++)
        worst = fmax(worst, fabs(d->peak[i] - d->exact_peak[i]));
    return worst;
}

static void compare_step(const mbl_block *b, const solver *c, const stint *s, size_t k,
                         difference *d)
{
    for (int i = 0; i < RHS_NODES; i++) {
        double exact = N_VGetArrayPointer(c->T)[i];
        double off = fabs(b->T[i] - exact);
        assert_true(isfinite(off));
        d->hottest = fmax(d->hottest, exact);
        d->peak[i] = fmax(d->peak[i], b->T[i]);
        d->exact_peak[i] = fmax(d->exact_peak[i], exact);
        if (s->speed[k] == 0)
            d->standing = fmax(d->standing, off);
        if (off > d->worst) {
            d->worst = off;
            d->at = s->time[k + 1];
            d->node = i;
        }
    }
}

static mbl_block *block_of(const mbl_car *car)
{
    mbl_network net;
    mbl_network_init(&net, &mbl_alloc_libc);
    assert_int_equal(mbl_corner_build(&net, car, ambient, pressure, NULL, NULL), MBL_OK);
    return bench_block(&net, ambient);
}

/* The same stint by the strides of the fine mode, to be held against CVODE where they end. */
typedef struct strider {
    mbl_block *b;
    size_t n, next;
    mbl_stride step[ROOM];
    double time; /* s, end of the stride before `next` */
} strider;

/* Leg by leg, as a drive does. */
static void make_strider(const mbl_car *car, stint *s, strider *x)
{
    x->b = block_of(car);
    x->n = 0;
    for (size_t i = 0; s->leg[i] < s->parked; i++) {
        size_t k = s->leg[i];
        size_t last = s->leg[i + 1];
        double next = s->speed[last];
        strides cut = {.fine = {.n = last - k,
                                .time = s->time + k,
                                .speed = s->speed + k,
                                .power = s->power + k},
                       .step = x->step + x->n};
        s->speed[last] = s->end[i];
        strides_cut(&cut, x->b->model[0], MBL_MODE_FINE);
        s->speed[last] = next;
        x->n += cut.n;
    }
    x->next = 0;
    x->time = 0;
}

/* Every node is up to date where a macro step ends; the slow ones stand still within it. */
static bool stride_to(strider *x, const stint *s, size_t k)
{
    if (k >= s->parked) {
        mbl_inputs in = {.time = s->time, .speed = s->speed, .power = s->power};
        mbl_block_run(x->b, &in, k, k + 1, NULL);
        return true;
    }
    if (x->time + x->step[x->next].dt > s->time[k + 1] + 1e-6)
        return false;
    mbl_block_stride(x->b, x->step, x->next, x->next + 1, x->time, NULL);
    x->time += x->step[x->next++].dt;
    return x->next == x->n || x->step[x->next].macro_dt > 0;
}

/* Against CVODE by the grid, and by the strides of `x` where it is not NULL, into `by_strides`. */
static difference side_by_side(const mbl_car *car, const stint *s, strider *x,
                               difference *by_strides)
{
    mbl_block *b = block_of(car);
    problem p = {.car = car, .s = s};
    solver c = make_solver(&p);
    mbl_inputs in = {.time = s->time, .speed = s->speed, .power = s->power};
    difference d = {0};
    for (size_t k = 0; k < s->n; k++) {
        mbl_block_run(b, &in, k, k + 1, NULL);
        advance(&c, &p, k);
        compare_step(b, &c, s, k, &d);
        if (x != NULL && stride_to(x, s, k))
            compare_step(x->b, &c, s, k, by_strides);
    }
    free_solver(&c);
    printf("worst %.3f K (%s at %.2f s of %.0f), parked %.3f K, peaks %.3f K, hottest %.0f K\n",
           d.worst, b->model[0]->node[d.node].name, d.at, s->time[s->n], d.standing, worst_peak(&d),
           d.hottest);
    mbl_block_free(b);
    return d;
}

/* Pads that do not wear: the second derivation knows them as thick as they start. */
static difference drive_both(const mbl_car *car, const drive_course *course, double step,
                             const char *what, difference *by_strides)
{
    static stint s;
    static strider x;
    mbl_car lasting = *car;
    lasting.front.pad.wear = 0;
    lasting.rear.pad.wear = 0;
    make_stint(&lasting, course, step, &s);
    printf("%s, steps of %g s: ", what, step);
    if (by_strides != NULL)
        make_strider(&lasting, &s, &x);
    difference d = side_by_side(&lasting, &s, by_strides != NULL ? &x : NULL, by_strides);
    if (by_strides != NULL)
        mbl_block_free(x.b);
    return d;
}

/*
 * A skin rubbed anew follows its power within a tenth of a second: that is what sets the step. At
 * twice the step the worst instant, just after the brakes go on, is off by up to 1 K.
 */
static void check(const mbl_car *car, const drive_course *course, const char *what,
                  difference *by_strides)
{
    static const char source[] =
        "CVODE, BDF, relative tolerance 1e-8, on a second derivation of the model";
    char text[128];
    difference d = drive_both(car, course, MBL_REFERENCE_STEP, what, by_strides);
    assert_true(d.hottest > 500); /* it was braked in earnest */
    snprintf(text, sizeof text, "%s, steps of %g s: worst peak of any part, off by K", what,
             MBL_REFERENCE_STEP);
    validate(text, source, 0, worst_peak(&d), 0.5);
    snprintf(text, sizeof text, "%s, steps of %g s: worst of any part while parked, off by K", what,
             MBL_REFERENCE_STEP);
    validate(text, source, 0, d.standing, 0.5);
    snprintf(text, sizeof text, "%s, steps of %g s: worst of any part and instant, off by K", what,
             MBL_REFERENCE_STEP);
    validate(text, source, 0, d.worst, 0.5);
}

static void the_coupe_on_a_mixed_course(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    difference by_strides = {0};
    check(&car, &drive_harrow_vale, "coupe, two big stops a lap", &by_strides);
    printf("by strides, fine: worst %.3f K (node %d at %.2f s), parked %.3f K, peaks %.3f K\n",
           by_strides.worst, by_strides.node, by_strides.at, by_strides.standing,
           worst_peak(&by_strides));
    assert_true(by_strides.hottest > 500);
    assert_true(by_strides.worst < 0.6);         /* a pad's face, for an instant */
    assert_true(worst_peak(&by_strides) < 0.25); /* what its mode promises */
    assert_true(by_strides.standing < 0.2);
}

/*
 * Solid rear rotors, sliding calipers of iron, titanium pistons, worn pads, a one-piece front, and
 * a valve that holds the rear back in every stop.
 */
static void a_plain_car_on_a_hilly_course(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.mass = 1150;
    car.rear.rotor.thickness = 0.012;
    car.rear.rotor.ring_mass = 4.6;
    car.rear.rotor.vanes = 0;
    car.rear.caliper.type = MBL_CALIPER_SLIDING;
    car.rear.caliper.body = MBL_BODY_IRON;
    car.rear.caliper.piston = MBL_PISTON_ALUMINIUM;
    car.rear.caliper.pistons = (mbl_numbers){1, {0.041}};
    car.front.rotor.construction = MBL_ONE_PIECE;
    car.front.rotor.ring_mass = 6.4;
    car.front.caliper.piston = MBL_PISTON_TITANIUM;
    car.front.pad.thickness_now = 0.005;
    car.front.airflow = 0.5;
    test_fill(&mbl_pedal_schema, test_pedal_valve, &car.pedal);
    check(&car, &drive_kestrel_rise, "plain car with a valve, hilly course", NULL);
}

/* A heavy car with ducts and a bar, friction that feels speed and pressure, sintered pads. */
static void a_heavy_car_with_ducts_that_stops_and_goes(void **state)
{
    (void)state;
    mbl_car car = test_coupe();
    car.mass = 1750;
    test_fill(&mbl_duct_schema, "{ bore: 76 mm, length: 1.4 m, aim: eye }", &car.front.duct);
    test_fill(&mbl_duct_schema, "{ bore: 51 mm, length: 1 m, aim: caliper }", &car.rear.duct);
    car.front.rotor.vane = MBL_VANES_CURVED;
    car.front.pad.conductivity = 8;
    car.front.pad.density = 5000;
    car.front.pad.specific_heat = 500;
    car.front.pad.speed_effect = (mbl_curve){.n = 3, .x = {0, 30, 80}, .y = {1.05, 1.0, 0.85}};
    car.front.pad.pressure_effect = (mbl_curve){.n = 2, .x = {0, 10e6}, .y = {1.06, 0.94}};
    test_fill(&mbl_pedal_schema, test_pedal_bar, &car.pedal);
    check(&car, &drive_cold_quay, "heavy car with ducts and a bar, stop and go", NULL);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_coupe_on_a_mixed_course),
        cmocka_unit_test(a_plain_car_on_a_hilly_course),
        cmocka_unit_test(a_heavy_car_with_ducts_that_stops_and_goes),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
