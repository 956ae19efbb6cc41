/* SPDX-License-Identifier: MIT */
#include "num/num.h"
#include "support/random.h"
#include "support/test.h"

static void a_polyline_meets_its_points_and_is_straight_between(void **state)
{
    (void)state;
    const double x[] = {1, 2, 4};
    const double y[] = {10, 30, 20};
    assert_near(mbl_polyline(x, y, 3, 1), 10, 0);
    assert_near(mbl_polyline(x, y, 3, 1.5), 20, 1e-14);
    assert_near(mbl_polyline(x, y, 3, 2), 30, 0);
    assert_near(mbl_polyline(x, y, 3, 3), 25, 1e-14);
    assert_near(mbl_polyline(x, y, 3, 4), 20, 0);
}

static void a_polyline_is_flat_outside_its_points(void **state)
{
    (void)state;
    const double x[] = {1, 2};
    const double y[] = {10, 30};
    assert_near(mbl_polyline(x, y, 2, -1e9), 10, 0);
    assert_near(mbl_polyline(x, y, 2, 1e9), 30, 0);
    assert_near(mbl_polyline(x, y, 1, 0), 10, 0);
    assert_near(mbl_polyline(x, y, 1, 5), 10, 0);
}

/* knots at 100, 102, 104, 106 */
static const double column[] = {3, 5, 4, 9};
static const mbl_table1 table = {100, 0.5, 4, column};

static void a_table_meets_its_knots_and_is_straight_between(void **state)
{
    (void)state;
    for (int i = 0; i < 4; i++)
        assert_near(mbl_table1_at(&table, 100 + 2 * i), column[i], 0);
    assert_near(mbl_table1_at(&table, 101), 4, 1e-14);
    assert_near(mbl_table1_at(&table, 102.5), 4.75, 1e-14);
    assert_near(mbl_table1_at(&table, 105), 6.5, 1e-14);
}

static void a_table_is_flat_outside_and_starts_at_its_first_knot_for_nan(void **state)
{
    (void)state;
    assert_near(mbl_table1_at(&table, -1e300), 3, 0);
    assert_near(mbl_table1_at(&table, 1e300), 9, 0);
    assert_near(mbl_table1_at(&table, -INFINITY), 3, 0);
    assert_near(mbl_table1_at(&table, INFINITY), 9, 0);
    assert_near(mbl_table1_at(&table, NAN), 3, 0);
}

static void the_slope_of_a_table_is_that_of_its_interval(void **state)
{
    (void)state;
    assert_near(mbl_table1_slope(&table, 101), 1, 1e-14);
    assert_near(mbl_table1_slope(&table, 103), -0.5, 1e-14);
    assert_near(mbl_table1_slope(&table, 105), 2.5, 1e-14);
    assert_near(mbl_table1_slope(&table, 0), 1, 1e-14);
    assert_near(mbl_table1_slope(&table, 200), 2.5, 1e-14);
}

enum { NX = 5, NY = 7 };

/* x = 10, 14, ... 26; y = -3, -2.5, ... 0 */
static double bilinear(double x, double y)
{
    return 2 + 0.5 * x - 3 * y + 0.25 * x * y;
}

static mbl_table2 sampled(double (*law)(double, double), double z[NX * NY])
{
    for (int i = 0; i < NX; i++) {
        for (int j = 0; j < NY; j++)
            z[j * NX + i] = law(10 + 4.0 * i, -3 + 0.5 * j);
    }
    return (mbl_table2){10, 0.25, -3, 2, NX, NY, z};
}

static double look_up(const mbl_table2 *t, double x, double y)
{
    return mbl_table2_at(t, mbl_spot_find(x, t->x0, t->x_per_step, t->nx), y);
}

static void a_table_of_two_variables_is_exact_on_a_bilinear_law(void **state)
{
    (void)state;
    double z[NX * NY];
    mbl_table2 t = sampled(bilinear, z);
    random_source r = {1};
    for (int k = 0; k < 2000; k++) {
        double x = random_between(&r, 10, 26);
        double y = random_between(&r, -3, 0);
        assert_near(look_up(&t, x, y), bilinear(x, y), 1e-12);
    }
}

static void a_table_of_two_variables_is_flat_outside(void **state)
{
    (void)state;
    double z[NX * NY];
    mbl_table2 t = sampled(bilinear, z);
    assert_near(look_up(&t, -50, -1.3), bilinear(10, -1.3), 1e-12);
    assert_near(look_up(&t, 90, -1.3), bilinear(26, -1.3), 1e-12);
    assert_near(look_up(&t, 15, -70), bilinear(15, -3), 1e-12);
    assert_near(look_up(&t, 15, 70), bilinear(15, 0), 1e-12);
}

static double curved(double x, double y)
{
    return x * x * exp(0.3 * y);
}

static void a_table_of_a_monotone_law_is_monotone_and_continuous(void **state)
{
    (void)state;
    double z[NX * NY];
    mbl_table2 t = sampled(curved, z);
    enum { FINE = 4000 };
    for (int j = 0; j <= 20; j++) {
        double y = -3.2 + 0.17 * j;
        double before = look_up(&t, 8, y);
        for (int i = 1; i <= FINE; i++) {
            double now = look_up(&t, 8 + 20.0 * i / FINE, y);
            assert_true(now >= before);
            /* steepest cell: (26^2 - 22^2) / 4 per unit of x */
            assert_true(now - before <= 48.0 * 20 / FINE * 1.001);
            before = now;
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_polyline_meets_its_points_and_is_straight_between),
        cmocka_unit_test(a_polyline_is_flat_outside_its_points),
        cmocka_unit_test(a_table_meets_its_knots_and_is_straight_between),
        cmocka_unit_test(a_table_is_flat_outside_and_starts_at_its_first_knot_for_nan),
        cmocka_unit_test(the_slope_of_a_table_is_that_of_its_interval),
        cmocka_unit_test(a_table_of_two_variables_is_exact_on_a_bilinear_law),
        cmocka_unit_test(a_table_of_two_variables_is_flat_outside),
        cmocka_unit_test(a_table_of_a_monotone_law_is_monotone_and_continuous),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
