/* SPDX-License-Identifier: MIT */
/*
 * The right-hand side as LSODA calls it, a shared library for lsoda.py. What it works on is static:
 * Fortran's interface has no place for a context.
 */
#include "bench/lsoda.h"

#include <stdio.h>
#include <stdlib.h>

static bench_field field;
static bench_lsoda_head head;
static double *data; /* time, speed (n + 1 each), power (n) */
static size_t first, last, near, evaluations;

int bench_lsoda_open(const char *path)
{
    FILE *in = fopen(path, "rb");
    if (in == NULL)
        return 0;
    size_t values = 0;
    if (fread(&head, sizeof head, 1, in) == 1 && fread(&field, sizeof field, 1, in) == 1) {
        values = 3 * (size_t)head.samples + 2;
        data = calloc(values, sizeof *data);
        if (data == NULL || fread(data, sizeof *data, values, in) != values)
            values = 0;
    }
    fclose(in);
    return values > 0;
}

const bench_lsoda_head *bench_lsoda_about(void)
{
    return &head;
}

const double *bench_lsoda_data(void)
{
    return data;
}

size_t bench_lsoda_evaluations(void)
{
    return evaluations;
}

void bench_lsoda_span(size_t from, size_t to)
{
    first = near = from;
    last = to;
}

void bench_lsoda_rates(const int *n, const double *t, const double *T, double *out)
{
    (void)n;
    const double *time = data;
    const double *speed = time + head.samples + 1;
    const double *power = speed + head.samples + 1;
    while (near > first && *t < time[near])
        near--;
    while (near + 1 < last && *t > time[near + 1])
        near++;
    double u = (*t - time[near]) / (time[near + 1] - time[near]);
    u = u > 0 ? u : 0;
    u = u < 1 ? u : 1;
    evaluations++;
    bench_rates_1(&field, speed[near] + u * (speed[near + 1] - speed[near]), power[near], T, out);
}
