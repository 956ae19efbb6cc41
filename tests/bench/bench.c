/* SPDX-License-Identifier: MIT */
/*
 * What the engine is worth, and what it costs, beside general-purpose solvers; and the page that
 * says so. Everything on the page is of this one run.
 */
#include "bench/aims.h"
#include "bench/machine.h"
#include "bench/page.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char usage[] = "usage: bench [PAGE.md] [--program EMBERLAP] [--tables ABCDE] [--cars "
                            "N] [--seed S] [--laps N]\n"
                            "             [--rounds N] [--long]\n";

static bool read_options(int argc, char **argv, bench_options *o)
{
    *o = (bench_options){.tables = "ABCDE", .cars = 20, .laps = 3, .rounds = 3};
    for (int i = 1; i < argc; i++) {
        const char *name = argv[i];
        if (strcmp(name, "--long") == 0) {
            o->all_rows = true;
            continue;
        }
        if (name[0] != '-' && o->page == NULL) {
            o->page = name;
            continue;
        }
        if (++i == argc)
            return false;
        if (strcmp(name, "--program") == 0)
            o->program = argv[i];
        else if (strcmp(name, "--tables") == 0)
            o->tables = argv[i];
        else if (strcmp(name, "--cars") == 0)
            o->cars = atoi(argv[i]);
        else if (strcmp(name, "--laps") == 0)
            o->laps = atoi(argv[i]);
        else if (strcmp(name, "--rounds") == 0)
            o->rounds = atoi(argv[i]);
        else if (strcmp(name, "--seed") == 0)
            o->seed = strtoull(argv[i], NULL, 10);
        else if (strcmp(name, "--log") == 0)
            o->log = argv[i];
        else if (strcmp(name, "--one-batch") == 0)
            o->one_batch = strtoull(argv[i], NULL, 10);
        else
            return false;
    }
    return o->cars > 0 && o->laps > 0 && o->laps < 29 && o->rounds > 0;
}

static void say_head(mbl_text *page)
{
    bench_say(page, "# Performance\n\n"
                    "Written by the program `bench` (tests/bench); not edited. All figures are of "
                    "one run on one machine, and none of them is asserted by a test. Where an aim "
                    "is missed the list of aims at the end says so.\n\n");
    bench_machine_say(page);
}

static void write_page(const char *path, const mbl_text *page)
{
    mbl_file file;
    mbl_error err = {0};
    bench_need(page->failed ? MBL_MEMORY : MBL_OK, NULL, "out of memory");
    bench_need(mbl_file_begin(&file, path, &err), &err, "the page");
    fwrite(mbl_text_get(page), 1, page->length, file.stream);
    bench_need(mbl_file_commit(&file, &err), &err, "the page");
}

int main(int argc, char **argv)
{
    static bench_scene scene;
    static bench_precision precision;
    bench_errors same[BENCH_MODES], finer[BENCH_MODES];
    bench_options o;
    if (!read_options(argc, argv, &o)) {
        fputs(usage, stderr);
        return 2;
    }
    if (o.one_batch > 0) {
        bench_one_batch(&o);
        return 0;
    }
    bench_found found = {.single = {(double)NAN, (double)NAN, (double)NAN},
                         .resident = (double)NAN,
                         .rows = o.all_rows ? 100000 : 10000};
    mbl_text page;
    mbl_text_init(&page, &mbl_alloc_libc);
    double begun = bench_wall();
    say_head(&page);
    if (strchr(o.tables, 'A') != NULL) {
        bench_scene_make(&scene);
        bench_precision_run(&scene, o.rounds, &precision);
        bench_precision_say(&scene, &precision, &page);
        bench_ratios_say(&precision, &page);
        bench_scene_free(&scene);
        found.precision = &precision;
    }
    if (strchr(o.tables, 'B') != NULL)
        found.resident = bench_cost(&o, argv[0], &page);
    if (strchr(o.tables, 'C') != NULL) {
        bench_accuracy(&o, same, finer, &page);
        found.same = same;
        found.finer = finer;
    }
    if (strchr(o.tables, 'D') != NULL)
        found.single = bench_verdict(&o, &page);
    if (strchr(o.tables, 'E') != NULL)
        bench_laps(&page);
    bench_aims_say(&found, &page);
    bench_say(&page, "\nThe run took %.0f s.\n", bench_wall() - begun);
    if (o.page != NULL)
        write_page(o.page, &page);
    mbl_text_free(&page);
    return 0;
}
