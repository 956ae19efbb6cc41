/* SPDX-License-Identifier: MIT */
#include "host/sweep_laps.h"

#include "host/course.h"

#include "drive/loop.h"

#include <string.h>

typedef struct mbl_sweep_lap {
    mbl_digest of;
    mbl_trace *trace;
    char layout[MBL_LAYOUT_TEXT];
} mbl_sweep_lap;

void mbl_sweep_laps_base(mbl_sweep_laps *laps, const mbl_case *first)
{
    laps->base = first->car;
    laps->based = true;
}

static mbl_status keep(mbl_sweep_laps *laps, const mbl_digest *of, const mbl_case *setup,
                       mbl_trace *trace, mbl_error *err)
{
    const mbl_alloc *alloc = &laps->host->store.alloc;
    if (laps->n == laps->room) {
        size_t room = laps->room == 0 ? 8 : 2 * laps->room;
        mbl_sweep_lap *more = mbl_new(alloc, room, sizeof *more);
        if (more == NULL)
            return mbl_fail(err, MBL_MEMORY, "out of memory for the laps of a sweep");
        if (laps->n > 0)
            memcpy(more, laps->lap, laps->n * sizeof *more);
        mbl_free(alloc, laps->lap, laps->room, sizeof *laps->lap);
        laps->lap = more;
        laps->room = room;
    }
    mbl_sweep_lap *to = &laps->lap[laps->n++];
    const mbl_layout *layout = setup->course.layout;
    *to = (mbl_sweep_lap){.of = *of, .trace = trace};
    memcpy(to->layout, layout->name, sizeof to->layout);
    return MBL_OK;
}

mbl_status mbl_sweep_laps_find(mbl_sweep_laps *laps, mbl_case *setup, mbl_error *err)
{
    mbl_trace *trace = NULL;
    if (setup->course.trace != NULL || setup->course.layout == NULL)
        return mbl_course_needed(&setup->course, err);
    const mbl_car *by = setup->course.of.present      ? &setup->course.of
                        : laps->relap || !laps->based ? &setup->car
                                                      : &laps->base;
    mbl_digest of = mbl_lap_digest(setup, by);
    for (size_t i = 0; i < laps->n && trace == NULL; i++)
        trace = mbl_digest_same(&laps->lap[i].of, &of) ? laps->lap[i].trace : NULL;
    if (trace == NULL) {
        mbl_status status = mbl_course_lap(&laps->host->store.alloc, setup, by, &trace, err);
        if (status != MBL_OK) {
            mbl_error_under(err, "course");
            return status;
        }
        status = keep(laps, &of, setup, trace, err);
        if (status != MBL_OK) {
            mbl_trace_drop(trace);
            return status;
        }
    }
    setup->course.trace = trace;
    return MBL_OK;
}

void mbl_sweep_laps_tell(const mbl_sweep_laps *laps)
{
    if (laps->n == 0)
        return;
    if (laps->relap) {
        mbl_host_note(laps->host,
                      "sweep: %zu laps worked out, each by its row's own car with pads at 300 C",
                      laps->n);
        return;
    }
    for (size_t i = 0; i < laps->n && i < 4; i++) {
        const mbl_trace *t = laps->lap[i].trace;
        mbl_host_note(laps->host,
                      "sweep: %s: all rows drive one lap of %.2f s, by the first row's car (or "
                      "course.of) with pads at 300 C; relap = true works out each row's own",
                      laps->lap[i].layout, t->laps[0].end - t->laps[0].start);
    }
}

void mbl_sweep_laps_free(mbl_sweep_laps *laps)
{
    for (size_t i = 0; i < laps->n; i++)
        mbl_trace_drop(laps->lap[i].trace);
    mbl_free(&laps->host->store.alloc, laps->lap, laps->room, sizeof *laps->lap);
    laps->lap = NULL;
    laps->n = 0;
    laps->room = 0;
}
