/* SPDX-License-Identifier: MIT */
#include "bench/drives.h"

#include "bench/page.h"
#include "support/drive.h"

const char *const bench_trace_names[BENCH_TRACES] = {"clean 20 Hz", "20 Hz, noise 0.1 m/s",
                                                     "10 Hz, noise 0.1 m/s, steps of 0.01 m/s",
                                                     "1 Hz", "20 Hz, in traffic"};

static const drive_format formats[BENCH_TRACES] = {
    {.rate = 20, .lap = true},
    {.rate = 20, .lap = true, .noise = 0.1},
    {.rate = 10, .lap = true, .noise = 0.1, .step = 0.01},
    {.rate = 1, .lap = true},
    {.rate = 20, .lap = true},
};

void bench_drive_log(size_t course, size_t kind, int hot, uint64_t seed, mbl_text *out)
{
    const drive_course *const courses[BENCH_COURSES] = {&drive_harrow_vale, &drive_long_mead,
                                                        &drive_cold_quay, &drive_kestrel_rise};
    drive_car car = drive_coupe();
    drive_plan plan = drive_stint((size_t)hot, seed);
    drive_format format = formats[kind];
    drive_session session;
    drive_run(courses[course], &car, &plan, &session);
    format.seed = seed;
    mbl_text_init(out, &mbl_alloc_libc);
    drive_write(&session, &format, out);
    drive_free(&session);
}

mbl_trace *bench_trace(const char *text, size_t n)
{
    mbl_error err = {0};
    mbl_log *log = NULL;
    mbl_trace *trace = NULL;
    bench_need(mbl_log_parse(&mbl_alloc_libc, "drive", text, n, &(mbl_log_wish){0}, &log, &err),
               &err, "a log");
    bench_need(mbl_trace_make(&mbl_alloc_libc, log, &trace, &err), &err, "a trace");
    mbl_log_free(log);
    return trace;
}

mbl_trace *bench_drive(size_t course, size_t kind, int hot, uint64_t seed)
{
    mbl_text text;
    bench_drive_log(course, kind, hot, seed, &text);
    mbl_trace *trace = bench_trace(mbl_text_get(&text), text.length);
    mbl_text_free(&text);
    return trace;
}
