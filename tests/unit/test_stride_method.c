/* SPDX-License-Identifier: MIT */
#include "heat/stride_method.h"

#include "support/test.h"

enum { S = MBL_ROS_STAGES };

/*
 * ROS34PW2 in its own terms: Rang and Angermann, New Rosenbrock W-methods of order 3 for partial
 * differential algebraic equations of index 1, BIT 45 (2005); values from memory. The last row of
 * Gamma is b less that of alpha: stiffly accurate.
 */
#define GAMMA 4.3586652150845900e-01
static const double alpha[S][S] = {
    {0},
    {8.7173304301691801e-01},
    {8.4457060015369423e-01, -1.1299064236484185e-01},
    {0, 0, 1},
};
static const double Gamma[S][S] = {
    {GAMMA},
    {-8.7173304301691801e-01, GAMMA},
    {-9.0338057013044082e-01, 5.4180672388095326e-02, GAMMA},
    {2.4212380706095346e-01, -1.2232505839045147e+00, 5.4526025533510214e-01, GAMMA},
};
static const double b_of[S] = {2.4212380706095346e-01, -1.2232505839045147e+00,
                               1.5452602553351020e+00, GAMMA};

static double dot(const double *a, const double *b)
{
    double sum = 0;
    for (int i = 0; i < S; i++)
        sum += a[i] * b[i];
    return sum;
}

/* M is (S x S). */
static void times(const double *M, const double *x, double *out)
{
    for (int i = 0; i < S; i++)
        out[i] = dot(M + S * i, x);
}

static void the_coefficients_meet_the_conditions_of_a_third_order_w_method(void **state)
{
    (void)state;
    static const double one[S] = {1, 1, 1, 1};
    double B[S][S];
    for (int i = 0; i < S; i++) {
        for (int j = 0; j < S; j++)
            B[i][j] = alpha[i][j] + Gamma[i][j];
    }
    double a[S], g[S], beta[S], aa[S], x[S];
    times(alpha[0], one, a);
    times(Gamma[0], one, g);
    times(B[0], one, beta);
    for (int i = 0; i < S; i++)
        aa[i] = a[i] * a[i];
    /* Hairer and Wanner II, IV.7: a Rosenbrock method of order 3 */
    assert_near(dot(b_of, one), 1, 1e-15);
    assert_near(dot(b_of, beta), 1 / 2.0, 1e-15);
    assert_near(dot(b_of, aa), 1 / 3.0, 1e-15);
    times(B[0], beta, x);
    assert_near(dot(b_of, x), 1 / 6.0, 1e-15);
    /* the same whatever the matrix: alpha and Gamma apart */
    assert_near(dot(b_of, a), 1 / 2.0, 1e-15);
    assert_near(dot(b_of, g), 0, 1e-15);
    times(alpha[0], a, x);
    assert_near(dot(b_of, x), 1 / 6.0, 1e-15);
    times(alpha[0], g, x);
    assert_near(dot(b_of, x), 0, 1e-15);
    times(Gamma[0], a, x);
    assert_near(dot(b_of, x), 0, 1e-15);
    times(Gamma[0], g, x);
    assert_near(dot(b_of, x), 0, 1e-15);
}

static void the_method_is_stiffly_accurate_and_damps_at_infinity(void **state)
{
    (void)state;
    for (int j = 0; j < S; j++)
        assert_near(alpha[S - 1][j] + Gamma[S - 1][j], b_of[j], 1e-15);
    assert_near(mbl_ros_alpha[S - 1], 1, 0);
    /* R(infinity) = 1 - b B^-1 1 = 0: the last row of B is b, so x with B x = 1 has b x = 1 */
    double x[S];
    for (int i = 0; i < S; i++) {
        double sum = 1;
        for (int j = 0; j < i; j++)
            sum -= (alpha[i][j] + Gamma[i][j]) * x[j];
        x[i] = sum / GAMMA;
    }
    assert_near(1 - dot(b_of, x), 0, 1e-14);
}

static void what_the_kernel_uses_follows_from_alpha_and_gamma(void **state)
{
    (void)state;
    static const double one[S] = {1, 1, 1, 1};
    double inverse[S][S] = {{0}}; /* of Gamma, which is lower triangular */
    for (int k = 0; k < S; k++) {
        for (int i = k; i < S; i++) {
            double sum = i == k ? 1 : 0;
            for (int j = k; j < i; j++)
                sum -= Gamma[i][j] * inverse[j][k];
            inverse[i][k] = sum / Gamma[i][i];
        }
    }
    double a[S], g[S];
    times(alpha[0], one, a);
    times(Gamma[0], one, g);
    assert_near(MBL_ROS_GAMMA, GAMMA, 0);
    for (int i = 0; i < S; i++) {
        double m = 0;
        for (int k = 0; k < S; k++)
            m += b_of[k] * inverse[k][i];
        assert_near(mbl_ros_m[i], m, 2e-15);
        assert_near(mbl_ros_b[i], b_of[i], 0);
        assert_near(mbl_ros_alpha[i], a[i], 2e-16);
        assert_near(mbl_ros_gamma[i], g[i], 2e-16);
        for (int j = 0; j < i; j++) {
            double sum = 0;
            for (int k = j; k < S; k++)
                sum += alpha[i][k] * inverse[k][j];
            assert_near(mbl_ros_a[i][j], sum, 2e-15);
            assert_near(mbl_ros_c[i][j], -inverse[i][j], 4e-15);
        }
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_coefficients_meet_the_conditions_of_a_third_order_w_method),
        cmocka_unit_test(the_method_is_stiffly_accurate_and_damps_at_infinity),
        cmocka_unit_test(what_the_kernel_uses_follows_from_alpha_and_gamma),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
