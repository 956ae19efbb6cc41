/* SPDX-License-Identifier: MIT */
#include "out/csv.h"

#include <stdio.h>

typedef struct writer {
    FILE *stream;
    mbl_units_system units;
    int nnodes;
} writer;

static void heading(const writer *w, const mbl_model *model)
{
    fputs("time,phase,lap,speed,braking power,line pressure", w->stream);
    for (int i = 0; i < w->nnodes; i++)
        fprintf(w->stream, ",%s", model->node[i].name);
    fprintf(w->stream, "\n%s,,,%s,%s,%s", mbl_out_unit(MBL_SHOW_TIME, w->units),
            mbl_out_unit(MBL_SHOW_SPEED, w->units), mbl_out_unit(MBL_SHOW_POWER, w->units),
            mbl_out_unit(MBL_SHOW_PRESSURE, w->units));
    for (int i = 0; i < w->nnodes; i++)
        fprintf(w->stream, ",%s", mbl_out_unit(MBL_SHOW_LEVEL, w->units));
    fputc('\n', w->stream);
}

static void number(const writer *w, mbl_measure measure, double si)
{
    fputc(',', w->stream);
    if (si - si == 0) /* finite */
        fputs(mbl_out_show(measure, w->units, si, 3).s, w->stream);
}

/* A stop in the pits is not yet standing. */
static const char *phase(const mbl_leg *leg)
{
    return leg->kind == MBL_LEG_STOP ? "stop" : mbl_phase_word(leg->phase);
}

static void row(void *ctx, double t, const mbl_leg *leg, double speed, double power,
                double pressure, const double *T)
{
    const writer *w = ctx;
    fprintf(w->stream, "%s,%s,%d", mbl_out_fixed(t, 3).s, phase(leg), leg->lap);
    number(w, MBL_SHOW_SPEED, speed);
    number(w, MBL_SHOW_POWER, power);
    number(w, MBL_SHOW_PRESSURE, pressure);
    for (int i = 0; i < w->nnodes; i++)
        number(w, MBL_SHOW_LEVEL, T[i]);
    fputc('\n', w->stream);
}

mbl_status mbl_out_run_csv(const mbl_run *run, const char *path, double every,
                           mbl_units_system units, mbl_error *err)
{
    double rate = every == 0 ? MBL_CSV_EVERY : every;
    if (!(rate >= MBL_CSV_LEAST && rate <= MBL_CSV_MOST))
        return mbl_fail(err, MBL_INPUT, "a row every %g s is out of range: %g s to %g s", every,
                        MBL_CSV_LEAST, MBL_CSV_MOST);
    mbl_file file;
    MBL_TRY(mbl_file_begin(&file, path, err));
    writer w = {.stream = file.stream, .units = units, .nnodes = run->drive->model->nnodes};
    heading(&w, run->drive->model);
    mbl_history history = {.every = rate, .ctx = &w, .row = row};
    mbl_status status = mbl_run_replay(run, &history, err);
    if (status != MBL_OK) {
        mbl_file_abandon(&file);
        return status;
    }
    return mbl_file_commit(&file, err);
}
