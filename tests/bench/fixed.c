/* SPDX-License-Identifier: MIT */
/* The peers of fixed steps, and the soak. */
#include "bench/lanes.h"
#include "bench/peers.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

double bench_clock(void)
{
    struct timespec now;
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

const char *bench_soak_make(mbl_model *const models[], int lanes, const bench_stint *stint,
                            bench_soak *out)
{
    *out = (bench_soak){.stint = stint, .lanes = lanes};
    mbl_error err = {0};
    for (int w = 0; w < lanes; w += BENCH_FOUR) {
        int used = lanes - w < BENCH_FOUR ? lanes - w : BENCH_FOUR;
        if (mbl_block_make(&mbl_alloc_libc, models + w, used, &out->block[w / BENCH_FOUR], &err) !=
            MBL_OK)
            return "no block for the soak";
    }
    return NULL;
}

void bench_soak_free(bench_soak *soak)
{
    for (int i = 0; i < BENCH_MOST / BENCH_FOUR; i++)
        mbl_block_free(soak->block[i]);
    *soak = (bench_soak){0};
}

/* One block of it, whose lanes begin at `first`. */
static void soak_block(const bench_soak *soak, mbl_block *b, size_t first, double *T, double *peak,
                       double *dense)
{
    const bench_stint *s = soak->stint;
    size_t nodes = (size_t)b->model[0]->nnodes;
    size_t lanes = (size_t)b->lanes;
    size_t all = (size_t)soak->lanes;
    double highest[BENCH_NODES * BENCH_FOUR];
    double when[BENCH_NODES * BENCH_FOUR];
    mbl_record record = {.peak = highest, .peak_at = when};
    mbl_inputs in = {.time = s->time, .speed = s->speed, .power = s->power};
    /* parked, speed and power are zeros from end to end */
    mbl_inputs few = {
        .time = s->soak, .speed = s->speed + s->parked, .power = s->power + s->parked};
    for (size_t i = 0; i < nodes * lanes; i++) {
        size_t at = i / lanes * all + first + i % lanes;
        mbl_block_set(b, (int)(i % lanes), (int)(i / lanes), T[at]);
        highest[i] = peak[at];
    }
    if (dense == NULL)
        mbl_block_run(b, &few, 0, s->nsoak, &record);
    for (size_t k = s->parked; dense != NULL && k < s->n; k++) {
        mbl_block_run(b, &in, k, k + 1, &record);
        for (size_t i = 0; i < nodes; i++)
            dense[k * nodes + i] = b->T[i * lanes];
    }
    for (size_t i = 0; i < nodes * lanes; i++) {
        size_t at = i / lanes * all + first + i % lanes;
        T[at] = b->T[i];
        peak[at] = highest[i];
    }
}

void bench_soak_run(bench_soak *soak, double *T, double *peak, double *dense)
{
    for (int w = 0; w < soak->lanes; w += BENCH_FOUR)
        soak_block(soak, soak->block[w / BENCH_FOUR], (size_t)w, T, peak, w == 0 ? dense : NULL);
}

/* The kernel for this many lanes on this processor; NULL where there is none. */
static bench_march *march_of(int lanes, bool plain, bool multirate)
{
    if (lanes == 1)
        return multirate ? bench_multirate_1 : bench_rk4_1;
#ifdef BENCH_HAVE_AVX512
    if (lanes == BENCH_MOST && __builtin_cpu_supports("avx512dq"))
        return multirate ? bench_multirate_8_avx512 : bench_rk4_8_avx512;
#endif
    if (lanes != BENCH_FOUR)
        return NULL;
#ifdef BENCH_HAVE_AVX2
    if (!plain && __builtin_cpu_supports("avx2"))
        return multirate ? bench_multirate_4_avx2 : bench_rk4_4_avx2;
#else
    (void)plain;
#endif
    return multirate ? bench_multirate_4 : bench_rk4_4;
}

static void mark_steps(const bench_step *steps, size_t n, const bench_stint *s, bool whole_only,
                       unsigned char *at)
{
    if (at == NULL)
        return;
    memset(at, 0, s->n);
    for (size_t j = 0; j < n; j++) {
        /* with multirate slow nodes are up to date where a stretch ends only */
        bool ends = j + 1 == n || steps[j + 1].stretch_dt > 0;
        bool sample = steps[j].seen > (j > 0 ? steps[j - 1].seen : 0);
        if (sample)
            at[steps[j].seen - 1] = ends || !whole_only ? 1 : 2;
    }
    memset(at + s->parked, 1, s->n - s->parked);
}

typedef struct job {
    mbl_model *const *models;
    int lanes;
    const bench_stint *stint;
    const bench_setting *setting;
    bool multirate;
} job;

static void run(const job *x, const bench_field *f, bench_step *steps, bench_soak *soak,
                double *dense, bench_result *out)
{
    size_t values = (size_t)(f->nnodes * f->lanes);
    bench_march *march = march_of(x->lanes, x->setting->plain, x->multirate);
    bench_dense rows = {x->stint, dense};
    double *T = out->end;
    double start = bench_clock();
    for (size_t i = 0; i < values; i++)
        T[i] = out->peak[i] = f->air[i % (size_t)f->lanes];
    size_t n = bench_cut_make(x->stint, &x->setting->cut, steps);
    march(f, steps, n, T, out->peak, dense != NULL ? &rows : NULL);
    bench_soak_run(soak, T, out->peak, dense);
    out->seconds = bench_clock() - start;
    out->samples = x->stint->n;
    out->steps = n;
    out->evaluations = 4 * n;
    out->jacobians = 0;
    size_t stretches = 0;
    for (size_t j = 0; j < n; j++)
        stretches += steps[j].stretch_dt > 0;
    out->flops = 4 * (double)n * (x->multirate ? BENCH_FLOPS_QUICK : BENCH_FLOPS_RATES) +
                 (double)stretches * BENCH_FLOPS_STRETCH;
    mark_steps(steps, n, x->stint, x->multirate, out->at_step);
}

static const char *run_fixed(const job *x, double *dense, bench_result *out)
{
    size_t split = x->setting->cut.split > 1 ? (size_t)x->setting->cut.split : 1;
    bench_field *f = aligned_alloc(64, (sizeof *f + 63) / 64 * 64);
    bench_step *steps = calloc(split * x->stint->parked, sizeof *steps);
    bench_soak soak = {0};
    const char *wrong = f == NULL || steps == NULL ? "out of memory" : NULL;
    if (march_of(x->lanes, x->setting->plain, x->multirate) == NULL)
        wrong = "no kernel for so many lanes on this processor";
    if (wrong == NULL)
        wrong = bench_field_make((const mbl_model *const *)x->models, x->lanes, f);
    if (wrong == NULL)
        wrong = bench_soak_make(x->models, x->lanes, x->stint, &soak);
    if (wrong == NULL)
        run(x, f, steps, &soak, dense, out);
    bench_soak_free(&soak);
    free(steps);
    free(f);
    return wrong;
}

const char *bench_peer_rk4(mbl_model *const models[], int lanes, const bench_stint *stint,
                           const bench_setting *setting, double *dense, bench_result *out)
{
    return run_fixed(&(job){models, lanes, stint, setting, false}, dense, out);
}

const char *bench_peer_multirate(mbl_model *const models[], int lanes, const bench_stint *stint,
                                 const bench_setting *setting, double *dense, bench_result *out)
{
    return run_fixed(&(job){models, lanes, stint, setting, true}, dense, out);
}
