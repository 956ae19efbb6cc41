/* SPDX-License-Identifier: MIT */
#include "bench/batch.h"

#include "bench/page.h"

#include <math.h>
#include <stdio.h>
#include <sys/resource.h>

typedef struct job {
    const mbl_case *base;
    FILE *out;
    bench_batch_result *result;
} job;

static mbl_status give(void *ctx, size_t i, mbl_case *out, mbl_row_fate *fate, mbl_error *err)
{
    (void)err;
    const job *j = ctx;
    *out = bench_sweep(j->base, i);
    *fate = MBL_ROW_GIVEN;
    return MBL_OK;
}

static mbl_status take(void *ctx, size_t i, const mbl_run *run, const mbl_error *why,
                       mbl_error *err)
{
    job *j = ctx;
    if (run == NULL)
        bench_need(MBL_INPUT, why, "a row");
    const mbl_car *car = &run->setup.car;
    fprintf(j->out, "%zu,%g,%g,%s", i, car->front.duct.bore, car->front.rotor.ring_mass,
            mbl_verdict_word(run->verdict));
    for (int axle = 0; axle < MBL_AXLES; axle++) {
        for (int n = 0; n < MBL_CORNER_NODES; n++)
            fprintf(j->out, ",%.2f", run->axle[axle].peak[n].T);
    }
    for (int k = 0; k < run->nchecks; k++)
        fprintf(j->out, ",%s,%.4g", mbl_check_word(run->checks[k].kind), run->checks[k].margin);
    fprintf(j->out, ",%.3g\n", run->ledger.residual);
    if (i == 0)
        j->result->face = run->axle[0].peak[MBL_FACE].T;
    j->result->residual = fmax(j->result->residual, fabs(run->ledger.residual));
    return ferror(j->out) ? mbl_fail(err, MBL_FILE, "a row cannot be written") : MBL_OK;
}

bench_batch_result bench_batch_run(const mbl_case *base, const bench_batch *batch)
{
    bench_batch_result r = {0};
    struct rusage used;
    mbl_error err = {0};
    size_t done = 0;
    job j = {base, tmpfile(), &r};
    bench_need(j.out == NULL ? MBL_FILE : MBL_OK, NULL, "no temporary file");
    mbl_batch b = {.source = give,
                   .sink = take,
                   .ctx = &j,
                   .rows = batch->rows,
                   .workers = batch->workers,
                   .lanes = batch->lanes,
                   .kin = batch->kin};
    double begun = bench_clock();
    double wall = bench_wall();
    bench_need(mbl_batch_run(&b, &done, &err), &err, "a batch");
    fflush(j.out);
    r.seconds = bench_clock() - begun;
    r.wall = bench_wall() - wall;
    fclose(j.out);
    getrusage(RUSAGE_SELF, &used);
    r.resident = 1024.0 * (double)used.ru_maxrss;
    return r;
}
