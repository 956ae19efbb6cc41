/* SPDX-License-Identifier: MIT */
#include "matter/water.h"

#include <math.h>

double mbl_water_boiling(double p)
{
    static const double n[11] = {0,
                                 0.11670521452767e4,
                                 -0.72421316703206e6,
                                 -0.17073846940092e2,
                                 0.12020824702470e5,
                                 -0.32325550322333e7,
                                 0.14915108613530e2,
                                 -0.48232657361591e4,
                                 0.40511340542057e6,
                                 -0.23855557567849,
                                 0.65017534844798e3};
    double MPa = fmin(fmax(p, 611.213), 22.064e6) * 1e-6;
    double beta = sqrt(sqrt(MPa));
    double E = beta * beta + n[3] * beta + n[6];
    double F = n[1] * beta * beta + n[4] * beta + n[7];
    double G = n[2] * beta * beta + n[5] * beta + n[8];
    double D = 2 * G / (-F - sqrt(F * F - 4 * E * G));
    double sum = n[10] + D;
    return 0.5 * (sum - sqrt(sum * sum - 4 * (n[9] + n[10] * D)));
}
