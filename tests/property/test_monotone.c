/* SPDX-License-Identifier: MIT */
/*
 * What must not get worse when something gets better, in any car: MBL_CASES cars (200 when not
 * set; half of them for air, a quarter for the rest), a failing one named by its seed. Friction
 * is flat here: with a curve, a cooler pad moves braking from axle to axle, and the axle that gets
 * more of it may well be hotter.
 */
#include "support/random_car.h"
#include "support/test.h"

enum { NODES = MBL_AXLES * MBL_CORNER_NODES };

static const double ambient = 293.15;

static void more_air_never_makes_anything_hotter(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 1) / 2;
    double closest = INFINITY;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        random_source r = {(uint64_t)seed + 1000};
        mbl_car car = random_car((uint64_t)seed);
        random_car_flat_friction(&car);
        random_stint_make((uint64_t)seed, &car, 2, &s);
        mbl_block *less = random_car_block(&car, ambient);
        car.front.airflow = fmin(1.5, car.front.airflow * random_between(&r, 1.05, 2.5));
        car.rear.airflow = fmin(1.5, car.rear.airflow * random_between(&r, 1.05, 2.5));
        mbl_block *more = random_car_block(&car, ambient);
        /* grey iron melts near 1450 K (from memory): beyond it nothing is held */
        bool molten = false;
        for (size_t k = 0; k < s.n && !molten; k++) {
            random_stint_step(less, &s, k);
            random_stint_step(more, &s, k);
            for (int axle = 0; axle < 2; axle++)
                molten = molten || less->T[mbl_corner_index(axle, MBL_FACE)] > 1450;
            for (int i = 0; i < NODES && !molten; i++) {
                closest = fmin(closest, less->T[i] - more->T[i]);
                /* a step of 60 ms is long for a skin: its error differs by a few mK between two
                 * cars as their iron passes from one interval of its table to the next */
                if (!(more->T[i] <= less->T[i] + 0.01))
                    fail_msg("car %d: %s is %.9g K with more air, %.9g K with less, at %g s", seed,
                             less->model[0]->node[i].name, more->T[i], less->T[i], s.time[k + 1]);
            }
        }
        mbl_block_free(less);
        mbl_block_free(more);
    }
    printf(
        "%d cars: less air less more air, the smallest difference of any node and step: %.1e K\n",
        cases, closest);
}

/* Highest core temperatures in and after one stop, both axles. */
static void peaks_of_one_stop(const mbl_car *car, const random_stint *s, double peak[2])
{
    mbl_block *b = random_car_block(car, ambient);
    static double highest[NODES], when[NODES];
    mbl_record record = {.peak = highest, .peak_at = when};
    mbl_record_clear(b, &record, 0);
    mbl_block_run(b, &s->in, 0, s->n, &record);
    for (int axle = 0; axle < 2; axle++)
        peak[axle] = highest[mbl_corner_index(axle, MBL_CORE)];
    mbl_block_free(b);
}

static void a_heavier_ring_of_the_same_size_never_has_a_hotter_core(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    double least = INFINITY;
    for (int seed = 1; seed <= cases; seed++) {
        static random_stint s;
        random_source r = {(uint64_t)seed + 2000};
        mbl_car car = random_car((uint64_t)seed);
        random_car_flat_friction(&car);
        random_stint_make((uint64_t)seed, &car, 1, &s);
        double light[2];
        double heavy[2];
        peaks_of_one_stop(&car, &s, light);
        mbl_rotor *rotor = random_below(&r, 2) ? &car.front.rotor : &car.rear.rotor;
        double H = mbl_rotor_ring_height(rotor);
        double full = 7200 * M_PI * H * (rotor->diameter - H) * rotor->thickness;
        double before = rotor->ring_mass;
        rotor->ring_mass = fmin(full, before * random_between(&r, 1.02, 1.5));
        if (rotor->ring_mass <= before)
            continue;
        peaks_of_one_stop(&car, &s, heavy);
        int axle = rotor == &car.rear.rotor;
        if (!(heavy[axle] <= light[axle]))
            fail_msg("car %d, %s: core peaks at %.6g K with %.4g kg, at %.6g K with %.4g kg", seed,
                     mbl_axle_word(axle), heavy[axle], rotor->ring_mass, light[axle], before);
        least = fmin(least, (light[axle] - heavy[axle]) / (light[axle] - ambient));
    }
    printf("%d cars: a heavier ring takes at least %.2e of the rise off its core\n", cases, least);
}

/* With everything at one temperature what reaches the two faces is the friction heat alone. */
static void every_pad_and_rotor_share_the_heat_between_them(void **state)
{
    (void)state;
    int cases = (random_cases(200) + 3) / 4;
    double least = 1;
    double most = 0;
    for (int seed = 1; seed <= cases; seed++) {
        random_source r = {(uint64_t)seed + 3000};
        mbl_car car = random_car((uint64_t)seed);
        mbl_block *b = random_car_block(&car, ambient);
        double q[NODES];
        double power = exp(random_between(&r, log(100), log(2e6)));
        mbl_block_flows(b, random_between(&r, 1, 80), power, NULL, q);
        double sum = 0;
        for (int axle = 0; axle < 2; axle++) {
            double rotor = q[mbl_corner_index(axle, MBL_FACE)];
            double pad = q[mbl_corner_index(axle, MBL_PAD_FACE)];
            double share = rotor / (rotor + pad);
            if (!(share > 0 && share < 1 && rotor > 0 && pad > 0))
                fail_msg("car %d: the %s rotor gets a share of %g", seed, mbl_axle_word(axle),
                         share);
            least = fmin(least, share);
            most = fmax(most, share);
            sum += rotor + pad;
        }
        assert_close(sum, 0.5 * power, 1e-12);
        mbl_block_free(b);
    }
    printf("%d cars: rotors get %.3f to %.4f of the heat\n", cases, least, most);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(more_air_never_makes_anything_hotter),
        cmocka_unit_test(a_heavier_ring_of_the_same_size_never_has_a_hotter_core),
        cmocka_unit_test(every_pad_and_rotor_share_the_heat_between_them),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
