/* SPDX-License-Identifier: MIT */
/*
 * What must be true of any car: MBL_CASES cars (200 when not set, of which a half or a quarter are
 * driven), a failing one named by its seed.
 */
#include "support/random_car.h"
#include "support/test.h"

enum { NODES = MBL_AXLES * MBL_CORNER_NODES, STATE_MAX = 1024, STOPS = 4 };

static const double ambient = 293.15;

static void wear_both(mbl_block *b, const mbl_car *car)
{
    mbl_corner_wear(b, 0, 0, &car->front.pad);
    mbl_corner_wear(b, 0, 1, &car->rear.pad);
}

static bool has(const char *path, const char *word)
{
    return strstr(path, word) != NULL;
}

/*
 * Drives a stint, looking at every step; the end state to `out`. With `laps` the pads are as thin
 * as they are worn after every so many steps.
 */
static double drive(uint64_t seed, const mbl_car *car, const random_stint *s, size_t laps,
                    double out[STATE_MAX], double *hottest)
{
    mbl_block *b = random_car_block(car, ambient);
    /* 3000 K: no stint of these gets there, a step run wild does; what cars reach is printed */
    for (size_t k = 0; k < s->n; k++) {
        if (laps > 0 && k % laps == 0)
            wear_both(b, car);
        if (laps > 0) /* pads may be worn to next to nothing, and their faces follow at once */
            random_stint_step(b, s, k);
        else
            mbl_block_run(b, &s->in, k, k + 1, NULL);
        for (int i = 0; i < NODES; i++) {
            const mbl_pad *pad = i < MBL_CORNER_NODES ? &car->front.pad : &car->rear.pad;
            bool thin = laps > 0 && mbl_corner_pad_left(b, 0, i / MBL_CORNER_NODES, pad) < 5e-3;
            /* the face of thin pads swings past where it comes to rest, for a step */
            double coldest = thin ? 100 : ambient - 1e-6;
            if (!(b->T[i] >= coldest && b->T[i] <= 3000))
                fail_msg("car %llu: %s at %.9g K after step %zu (%g s)", (unsigned long long)seed,
                         b->model[0]->node[i].name, b->T[i], k, s->time[k + 1]);
            *hottest = fmax(*hottest, b->T[i]);
        }
    }
    assert_true(mbl_block_finite(b));
    memset(out, 0, STATE_MAX * sizeof *out);
    assert_true(mbl_block_state_size(b) <= STATE_MAX);
    mbl_block_save(b, 0, out);
    double asked = 0;
    for (size_t k = 0; k < s->n; k++)
        asked += 0.5 * s->power[k] * (s->time[k + 1] - s->time[k]);
    assert_close(b->heat[0], asked, 1e-12);
    assert_close(b->work[0] + b->work[1], asked, 1e-12);
    for (int p = 0; p < b->model[0]->npaths; p++) {
        /* a solid ring has no vanes to lose heat by, and pads wear at the end of a lap */
        bool vanes = has(b->model[0]->path[p], "vanes");
        bool least = fmin(mbl_pad_thickness(&car->front.pad), mbl_pad_thickness(&car->rear.pad)) <=
                     MBL_PAD_LEAST; /* those do not get thinner */
        bool kept = has(b->model[0]->path[p], "worn pads") && (laps == 0 || least);
        assert_true(b->lost[p] > 0 || ((vanes || kept) && b->lost[p] == 0));
    }
    double residual = mbl_block_residual(b, 0);
    mbl_block_free(b);
    return residual;
}

static void heat_in_is_stored_or_lost_in_every_car(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 1) / 2;
    double worst = 0;
    double hottest = 0;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        double end[STATE_MAX];
        mbl_car car = random_car((uint64_t)seed);
        random_stint_make((uint64_t)seed, &car, STOPS, &s);
        double residual = drive((uint64_t)seed, &car, &s, 0, end, &hottest);
        if (!(fabs(residual) <= 1e-10))
            fail_msg("car %d: residual %g of the heat", seed, residual);
        worst = fmax(worst, fabs(residual));
    }
    printf("%d cars: worst residual %.1e of the heat, hottest node %.0f K\n", cases, worst,
           hottest);
}

/* What is worn off takes its heat along, and the books know it. */
static void heat_in_is_stored_lost_or_worn_off_in_every_car(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    double worst = 0;
    double hottest = 0;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        double end[STATE_MAX];
        mbl_car car = random_car((uint64_t)seed);
        /* some ten thousandths of the pads in every stop, and up to all of what there is */
        random_source r = {(uint64_t)seed + 4000};
        car.front.pad.wear *= exp(random_between(&r, 0, log(300)));
        car.rear.pad.wear *= exp(random_between(&r, 0, log(300)));
        random_stint_make((uint64_t)seed, &car, STOPS, &s);
        double residual = drive((uint64_t)seed, &car, &s, 50, end, &hottest);
        if (!(fabs(residual) <= 1e-10))
            fail_msg("car %d: residual %g of the heat", seed, residual);
        worst = fmax(worst, fabs(residual));
    }
    printf("%d cars that wear: worst residual %.1e of the heat\n", cases, worst);
}

/*
 * Two wheels of an axle push with gain x friction x the pressure of their own line. The pads'
 * temperatures are on the knots of the friction table, where it is the curve itself.
 */
static double pushes(const mbl_car *car, mbl_block *b, int axle, double T, double speed)
{
    const mbl_brake *brake = axle == 0 ? &car->front : &car->rear;
    mbl_distribution d = mbl_distribution_of(&car->pedal);
    double p = axle == 0 ? b->pressure[0] : mbl_rear_pressure(&d, b->pressure[0]);
    return mbl_axle_gain(brake, car->tyre.radius) * p * mbl_friction_at(&brake->pad, T, speed, p);
}

static void front_and_rear_divide_all_heat_by_what_each_pushes_with(void **state)
{
    (void)state;
    int cases = random_cases(200);
    double least = 1;
    double most = 0;
    mbl_block *b = NULL;
    mbl_car car;
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 5000};
        if (seed % 4 == 1) { /* four states of every car */
            mbl_block_free(b);
            car = random_car((uint64_t)seed);
            b = random_car_block(&car, ambient);
        }
        double speed = random_between(&r, 1, 80);
        double power = exp(random_between(&r, log(100), log(2e6)));
        double T[2] = {300 + 5 * random_below(&r, 100), 300 + 5 * random_below(&r, 100)};
        double q[NODES];
        for (int axle = 0; axle < 2; axle++)
            mbl_block_set(b, 0, mbl_corner_index(axle, MBL_PAD_FACE), T[axle]);
        mbl_block_flows(b, speed, power, NULL, q);
        double front = pushes(&car, b, 0, T[0], speed);
        double all = front + pushes(&car, b, 1, T[1], speed);
        assert_close(b->rubbed[0] + b->rubbed[1], 0.5 * power, 1e-14);
        /* with friction that feels pressure the last turn of the search is a little behind */
        double slack = b->pressure_matters ? 1e-4 : 1e-12;
        if (!(fabs(b->rubbed[0] / (0.5 * power) - front / all) <= slack))
            fail_msg("case %d: the front takes %.9g of the heat and pushes with %.9g", seed,
                     b->rubbed[0] / (0.5 * power), front / all);
        assert_close(all * speed, power, 10 * slack);
        least = fmin(least, front / all);
        most = fmax(most, front / all);
    }
    mbl_block_free(b);
    printf("%d cases: the front takes %.3f to %.3f of the heat\n", cases, least, most);
}

static void a_car_driven_twice_has_the_same_bits(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 9) / 10;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        double once[STATE_MAX];
        double twice[STATE_MAX];
        double hottest = 0;
        mbl_car car = random_car((uint64_t)seed);
        random_stint_make((uint64_t)seed, &car, STOPS, &s);
        drive((uint64_t)seed, &car, &s, 80, once, &hottest);
        drive((uint64_t)seed, &car, &s, 80, twice, &hottest);
        assert_memory_equal(once, twice, sizeof once);
    }
}

static void a_car_at_ambient_without_braking_stays_there(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        mbl_car car = random_car((uint64_t)seed);
        random_stint_make((uint64_t)seed, &car, STOPS, &s);
        memset(s.power, 0, sizeof s.power);
        mbl_block *b = random_car_block(&car, ambient);
        double flows[NODES];
        mbl_block_flows(b, 30, 0, NULL, flows);
        mbl_block_run(b, &s.in, 0, s.n, NULL);
        for (int i = 0; i < NODES; i++) {
            assert_near(flows[i], 0, 1e-9); /* W: the last bit of a temperature */
            assert_near(b->T[i], ambient, 1e-9);
        }
        assert_near(b->heat[0], 0, 0);
        mbl_block_free(b);
    }
}

/* Left alone, the hottest only cools and the coldest only warms, down to the air. */
static void heat_only_flows_downhill(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed};
        mbl_car car = random_car((uint64_t)seed);
        mbl_block *b = random_car_block(&car, ambient);
        double hot = ambient;
        for (int i = 0; i < NODES; i++) {
            double T = random_between(&r, ambient, 900);
            mbl_block_set(b, 0, i, T);
            hot = fmax(hot, T);
        }
        double dt = 0.002;
        for (int k = 0; k < 300; k++) {
            double time[] = {0, dt};
            double speed[] = {20, 20};
            mbl_inputs in = {.time = time, .speed = speed};
            mbl_block_run(b, &in, 0, 1, NULL);
            double now = 0;
            for (int i = 0; i < NODES; i++) {
                now = fmax(now, b->T[i]);
                if (!(b->T[i] >= ambient - 1e-6))
                    fail_msg("car %d: %s at %.9g K", seed, b->model[0]->node[i].name, b->T[i]);
            }
            if (!(now <= hot + 1e-6))
                fail_msg("car %d: the hottest rose from %.9g to %.9g K", seed, hot, now);
            hot = now;
            dt = fmin(1.03 * dt, 1);
        }
        mbl_block_free(b);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(heat_in_is_stored_or_lost_in_every_car),
        cmocka_unit_test(heat_in_is_stored_lost_or_worn_off_in_every_car),
        cmocka_unit_test(front_and_rear_divide_all_heat_by_what_each_pushes_with),
        cmocka_unit_test(a_car_driven_twice_has_the_same_bits),
        cmocka_unit_test(a_car_at_ambient_without_braking_stays_there),
        cmocka_unit_test(heat_only_flows_downhill),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
