/* SPDX-License-Identifier: MIT */
/* LSODA in a process of SciPy's own: a file there, a file back. */
#include "bench/lsoda.h"
#include "bench/peers.h"

#ifdef BENCH_PYTHON
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

enum { PATH = 256 };

static bool write_job(const char *path, const bench_field *f, const bench_stint *s, size_t n,
                      double rtol, bool dense)
{
    bench_lsoda_head head = {(long long)n, f->nnodes, dense, f->air[0], rtol};
    FILE *out = fopen(path, "wb");
    if (out == NULL)
        return false;
    bool ok = fwrite(&head, sizeof head, 1, out) == 1 && fwrite(f, sizeof *f, 1, out) == 1 &&
              fwrite(s->time, sizeof(double), n + 1, out) == n + 1 &&
              fwrite(s->speed, sizeof(double), n + 1, out) == n + 1 &&
              fwrite(s->power, sizeof(double), n, out) == n;
    return fclose(out) == 0 && ok;
}

static bool read_answer(const char *path, size_t nodes, size_t n, double *dense, bench_result *out)
{
    double about[2];
    FILE *in = fopen(path, "rb");
    if (in == NULL)
        return false;
    bool ok = fread(about, sizeof(double), 2, in) == 2 &&
              fread(out->end, sizeof(double), nodes, in) == nodes &&
              (dense == NULL || fread(dense, sizeof(double), n * nodes, in) == n * nodes);
    fclose(in);
    out->seconds = about[0];
    out->evaluations = (size_t)about[1];
    return ok;
}

static const char *ask(const char *folder, const bench_field *f, const bench_stint *s, double rtol,
                       double *dense, bench_result *out)
{
    char job[PATH], answer[PATH], command[4 * PATH];
    size_t n = s->lap;
    snprintf(job, sizeof job, "%s/job", folder);
    snprintf(answer, sizeof answer, "%s/answer", folder);
    snprintf(command, sizeof command, "\"%s\" \"%s\" \"%s\" \"%s\" \"%s\"", BENCH_PYTHON,
             BENCH_SCRIPT, BENCH_LIBRARY, job, answer);
    const char *wrong = NULL;
    if (!write_job(job, f, s, n, rtol, dense != NULL))
        wrong = "its file cannot be written";
    else if (system(command) != 0)
        wrong = "it fails";
    else if (!read_answer(answer, (size_t)f->nnodes, n, dense, out))
        wrong = "its answer cannot be read";
    remove(job);
    remove(answer);
    return wrong;
}

const char *bench_peer_lsoda(mbl_model *const models[], int lanes, const bench_stint *stint,
                             const bench_setting *setting, double *dense, bench_result *out)
{
    char folder[] = "/tmp/mbl-bench-XXXXXX";
    if (lanes != 1)
        return "it has one lane";
    bench_field *f = aligned_alloc(64, (sizeof *f + 63) / 64 * 64);
    const mbl_model *model = models[0];
    const char *wrong = f == NULL ? "out of memory" : bench_field_make(&model, 1, f);
    unsigned char *at = out->at_step;
    *out = (bench_result){.at_step = at, .samples = stint->lap};
    if (wrong == NULL && mkdtemp(folder) == NULL)
        wrong = "no folder for its files";
    if (wrong == NULL) {
        wrong = ask(folder, f, stint, setting->rtol, dense, out);
        rmdir(folder);
    }
    if (at != NULL)
        memset(at, 1, stint->n);
    out->flops = (double)out->evaluations * (BENCH_FLOPS_RATES + BENCH_FLOPS_STRETCH);
    free(f);
    return wrong;
}

#else

const char *bench_peer_lsoda(mbl_model *const models[], int lanes, const bench_stint *stint,
                             const bench_setting *setting, double *dense, bench_result *out)
{
    (void)models, (void)lanes, (void)stint, (void)setting, (void)dense, (void)out;
    return "no Python with SciPy when this was built";
}

#endif
