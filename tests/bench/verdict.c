/* SPDX-License-Identifier: MIT */
/* Table D: one stint, in memory and as a process. */
#include "bench/tables.h"

#include "bench/page.h"
#include "bench/drives.h"
#include "bench/engine.h"

#include <fcntl.h>
#include <math.h>
#include <spawn.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static const char script[] =
    "local el = require \"emberlap\"\n"
    "local friction = { { 20, 0.38 }, { 300, 0.48 }, { 650, 0.44 }, { 800, 0.30 } }\n"
    "local car = el.car {\n"
    "  mass = \"1420 kg\", tyre = { radius = \"318 mm\" }, aero = { drag_area = \"0.72 m2\" },\n"
    "  fluid = el.fluid { dry = \"310 C\", wet = \"200 C\", water = \"1 %\" },\n"
    "  front = el.brake {\n"
    "    rotor = el.rotor { diameter = \"355 mm\", thickness = \"32 mm\", ring_mass = \"7.9 kg\",\n"
    "      hat_mass = \"1.2 kg\", construction = \"two-piece\", hat = \"plain\", vanes = 48 },\n"
    "    pad = el.pad { area = \"62 cm2\", height = \"50 mm\", thickness = \"16 mm\",\n"
    "      friction = friction, window = { \"150 C\", \"700 C\" } },\n"
    "    caliper = el.caliper { type = \"fixed\", pistons = { \"38 mm\", \"34 mm\", \"30 mm\" },\n"
    "      mass = \"3.4 kg\" } },\n"
    "  rear = el.brake {\n"
    "    rotor = el.rotor { diameter = \"330 mm\", thickness = \"28 mm\", ring_mass = \"6.2 kg\",\n"
    "      hat_mass = \"2.1 kg\", vanes = 40 },\n"
    "    pad = el.pad { area = \"42 cm2\", height = \"46 mm\", thickness = \"14 mm\",\n"
    "      friction = friction, window = { \"150 C\", \"700 C\" } },\n"
    "    caliper = el.caliper { type = \"fixed\", pistons = { \"28 mm\", \"28 mm\" },\n"
    "      mass = \"2.3 kg\" } } }\n"
    "local run = el.run { car = car, course = el.trace { file = \"session.csv\" },\n"
    "  stint = el.stint { out = 1, hot = 18, cool = 1, park = \"10 min\" } }\n";
static const char tells[] = "print(run.verdict)\n";
static const char prints[] = "print(run)\n";

enum { RUNS = 20, COLD = 5, PATH = 600 };

/* The parts of one stint, ms, each at its best. */
typedef struct parts {
    double fresh, compile, plan, drive, kept, beyond;
} parts;

static double run_ms(const mbl_case *setup, mbl_film_store *films, bool beyond)
{
    mbl_run *run = NULL;
    mbl_error err = {0};
    double begun = bench_clock();
    if (beyond)
        bench_need(mbl_run_make(&mbl_alloc_libc, setup, NULL, 0, &run, &err), &err, "a run");
    else
        bench_need(mbl_run_quick(&mbl_alloc_libc, setup, 0, films, &run, &err), &err, "a run");
    double took = bench_clock() - begun;
    mbl_run_free(run);
    return 1e3 * took;
}

static parts quick(const mbl_case *setup)
{
    parts p = {INFINITY, INFINITY, INFINITY, INFINITY, INFINITY, INFINITY};
    mbl_film_store kept;
    mbl_film_store_init(&kept, &mbl_alloc_libc);
    for (int i = 0; i < RUNS; i++) {
        mbl_film_store films;
        bench_engine e;
        mbl_film_store_init(&films, &mbl_alloc_libc);
        double begun = bench_clock();
        mbl_model *model = bench_model(setup);
        p.compile = fmin(p.compile, 1e3 * (bench_clock() - begun));
        bench_engine_make(setup, &model, 1, 0, &e);
        p.plan = fmin(p.plan, 1e3 * e.planned);
        p.drive = fmin(p.drive, 1e3 * bench_engine_drive(&e, NULL));
        bench_engine_free(&e);
        mbl_model_drop(model);
        p.fresh = fmin(p.fresh, run_ms(setup, &films, false));
        p.kept = fmin(p.kept, run_ms(setup, &kept, false));
        p.beyond = fmin(p.beyond, run_ms(setup, NULL, true));
        mbl_film_store_free(&films);
    }
    mbl_film_store_free(&kept);
    return p;
}

static bool write_file(const char *folder, const char *name, const char *text, size_t n)
{
    char path[PATH];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    FILE *out = fopen(path, "wb");
    bool ok = out != NULL && fwrite(text, 1, n, out) == n;
    return (out == NULL || fclose(out) == 0) && ok;
}

static void remove_file(const char *folder, const char *name)
{
    char path[PATH];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    remove(path);
}

/*
 * ms of wall clock from spawn to the end of the process; NAN when it fails. Not fork: that copies
 * the page tables of this program, which is large by then.
 */
static double once(const char *program, const char *folder)
{
    char path[PATH];
    snprintf(path, sizeof path, "%s/stint.lua", folder);
    char *const words[] = {(char *)(uintptr_t)program, (char *)(uintptr_t) "run", path, NULL};
    char *const nothing[] = {NULL};
    posix_spawn_file_actions_t actions;
    pid_t child;
    int status = 0;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, 1, "/dev/null", O_WRONLY, 0);
    posix_spawn_file_actions_addopen(&actions, 2, "/dev/null", O_WRONLY, 0);
    double begun = bench_wall();
    bool ran = posix_spawn(&child, program, &actions, NULL, words, nothing) == 0 &&
               waitpid(child, &status, 0) == child;
    double took = 1e3 * (bench_wall() - begun);
    posix_spawn_file_actions_destroy(&actions);
    /* 1 is a verdict, too */
    return ran && WIFEXITED(status) && WEXITSTATUS(status) <= 1 ? took : (double)NAN;
}

static double cold(const char *program, const mbl_text *log, bool page)
{
    char folder[] = "/tmp/mbl-bench-XXXXXX";
    char whole[PATH];
    char text[sizeof script + sizeof tells + sizeof prints];
    double took[COLD] = {0};
    char *real = program != NULL ? realpath(program, NULL) : NULL;
    if (real == NULL || mkdtemp(folder) == NULL) {
        free(real);
        return (double)NAN;
    }
    snprintf(whole, sizeof whole, "%s", real);
    free(real);
    snprintf(text, sizeof text, "%s%s", script, page ? prints : tells);
    bool ok = write_file(folder, "session.csv", mbl_text_get(log), log->length) &&
              write_file(folder, "stint.lua", text, strlen(text));
    for (int i = 0; ok && i < COLD; i++) {
        took[i] = once(whole, folder);
        for (int j = i; j > 0 && took[j] < took[j - 1]; j--) {
            double swap = took[j];
            took[j] = took[j - 1];
            took[j - 1] = swap;
        }
        ok = !isnan(took[i]);
    }
    remove_file(folder, "session.csv");
    remove_file(folder, "stint.lua");
    rmdir(folder);
    return ok ? took[COLD / 2] : (double)NAN;
}

/* ms from the bytes of the log to its trace. */
static double import(const mbl_text *log, mbl_trace **trace)
{
    double best = INFINITY;
    for (int i = 0; i < RUNS; i++) {
        mbl_trace_drop(*trace);
        double begun = bench_clock();
        *trace = bench_trace(mbl_text_get(log), log->length);
        best = fmin(best, bench_clock() - begun);
    }
    return 1e3 * best;
}

bench_single bench_verdict(const bench_options *o, mbl_text *page)
{
    mbl_text log;
    mbl_trace *trace = NULL;
    char f[24];
    bench_drive_log(0, 0, 18, 7, &log);
    double read = import(&log, &trace);
    mbl_case setup = bench_case(trace, 18);
    parts p = quick(&setup);
    bench_single found = {p.fresh, cold(o->program, &log, false), cold(o->program, &log, true)};
    bench_say(page,
              "\n## D. One stint\n\n20 laps and ten minutes parked, default mode, one lane.\n\n"
              "| what | ms |\n|---|--:|\n");
    const struct {
        const char *what;
        double ms;
    } lines[] = {
        {"log of 20 laps at 20 Hz in memory to trace", read},
        {"trace in memory to result", p.fresh},
        {"of it compiling the car, its film laws included", p.compile},
        {"of it cutting the stint into steps", p.plan},
        {"of it driving", p.drive},
        {"trace in memory to result, film laws of the car known", p.kept},
        {"trace in memory to result, with how many more laps there are", p.beyond},
        {"process to verdict (print(run.verdict)), script and log from disk, wall clock, median of "
         "5",
         found.cold},
        {"the same with the page printed: session plan, and every assumption tried", found.page},
    };
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++)
        bench_say(page, "| %s | %s |\n", lines[i].what, bench_figure(lines[i].ms, f));
    if (o->program == NULL)
        bench_say(page, "\nNo program was named, so no process was timed.\n");
    mbl_text_free(&log);
    mbl_trace_drop(trace);
    return found;
}
