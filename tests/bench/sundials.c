/* SPDX-License-Identifier: MIT */
/* CVODE and ARKODE of SUNDIALS. Both start anew where the brakes go on or off, as they should. */
#include "bench/peers.h"

#include <arkode/arkode_erkstep.h>
#include <cvode/cvode.h>
#include <nvector/nvector_serial.h>
#include <sundials/sundials_types.h>
#include <sunlinsol/sunlinsol_dense.h>
#include <sunmatrix/sunmatrix_dense.h>

#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef struct problem {
    const bench_field *f;
    const bench_stint *s;
    size_t first, last; /* samples since the last start, to the next */
    size_t near;
    size_t evaluations, jacobians;
} problem;

typedef struct solver {
    const bench_setting *setting;
    problem p;
    SUNContext context;
    N_Vector T;
    SUNMatrix matrix;
    SUNLinearSolver linear;
    void *cvode, *erk;
} solver;

/* The sample that t lies in, of those since the last start; the speed at t. */
static double speed_at(problem *p, double t)
{
    const bench_stint *s = p->s;
    while (p->near > p->first && t < s->time[p->near])
        p->near--;
    while (p->near + 1 < p->last && t > s->time[p->near + 1])
        p->near++;
    size_t k = p->near;
    double u = (t - s->time[k]) / (s->time[k + 1] - s->time[k]);
    u = u > 0 ? u : 0;
    u = u < 1 ? u : 1;
    return s->speed[k] + u * (s->speed[k + 1] - s->speed[k]);
}

static int rates(sunrealtype t, N_Vector T, N_Vector out, void *ctx)
{
    problem *p = ctx;
    double v = speed_at(p, t);
    bench_rates_1(p->f, v, p->s->power[p->near], NV_DATA_S(T), NV_DATA_S(out));
    p->evaluations++;
    return 0;
}

static int jacobian(sunrealtype t, N_Vector T, N_Vector rate, SUNMatrix J, void *ctx, N_Vector a,
                    N_Vector b, N_Vector c)
{
    (void)rate, (void)a, (void)b, (void)c;
    problem *p = ctx;
    double v = speed_at(p, t);
    bench_jacobian(p->f, v, p->s->power[p->near], NV_DATA_S(T), SUNDenseMatrix_Data(J));
    p->jacobians++;
    return 0;
}

static const char *make_cvode(solver *x)
{
    double tolerance = x->setting->rtol;
    int n = x->p.f->nnodes;
    x->matrix = SUNDenseMatrix(n, n, x->context);
    x->linear = SUNLinSol_Dense(x->T, x->matrix, x->context);
    x->cvode = CVodeCreate(CV_BDF, x->context);
    if (x->cvode == NULL || CVodeInit(x->cvode, rates, 0, x->T) < 0 ||
        CVodeSStolerances(x->cvode, tolerance, tolerance) < 0 ||
        CVodeSetUserData(x->cvode, &x->p) < 0 ||
        CVodeSetLinearSolver(x->cvode, x->linear, x->matrix) < 0 ||
        (!x->setting->quotient && CVodeSetJacFn(x->cvode, jacobian) < 0))
        return "CVODE cannot be set up";
    return NULL;
}

static const char *make_erk(solver *x)
{
    double tolerance = x->setting->rtol;
    x->erk = ERKStepCreate(rates, 0, x->T, x->context);
    int order = x->setting->order;
    if (x->erk == NULL || ERKStepSStolerances(x->erk, tolerance, tolerance) < 0 ||
        ERKStepSetUserData(x->erk, &x->p) < 0 ||
        (order > 0 ? ERKStepSetOrder(x->erk, order)
                   : ERKStepSetTableNum(x->erk, ARKODE_DORMAND_PRINCE_7_4_5)) < 0)
        return "ARKODE cannot be set up";
    return NULL;
}

static void free_solver(solver *x)
{
    CVodeFree(&x->cvode);
    ERKStepFree(&x->erk);
    if (x->linear != NULL)
        SUNLinSolFree(x->linear);
    if (x->matrix != NULL)
        SUNMatDestroy(x->matrix);
    if (x->T != NULL)
        N_VDestroy(x->T);
    SUNContext_Free(&x->context);
}

static const char *make_solver(solver *x, const bench_field *f, const bench_stint *s,
                               const bench_setting *setting, bool implicit)
{
    *x = (solver){.setting = setting, .p = {.f = f, .s = s}};
    if (SUNContext_Create(NULL, &x->context) < 0)
        return "SUNDIALS has no context";
    x->T = N_VNew_Serial(f->nnodes, x->context);
    N_VConst(f->air[0], x->T);
    return implicit ? make_cvode(x) : make_erk(x);
}

static int start(solver *x, double t, double end)
{
    if (x->cvode != NULL)
        return CVodeReInit(x->cvode, t, x->T) < 0 ? -1 : CVodeSetStopTime(x->cvode, end);
    return ERKStepReInit(x->erk, rates, t, x->T) < 0 ? -1 : ERKStepSetStopTime(x->erk, end);
}

static int one_step(solver *x, double end, double *t)
{
    if (x->cvode != NULL)
        return CVode(x->cvode, end, x->T, t, CV_ONE_STEP);
    return ERKStepEvolve(x->erk, end, x->T, t, ARK_ONE_STEP);
}

/* T at a time within the last step, into a row. */
static int look_back(solver *x, double t, double *row)
{
    N_Vector at = N_VMake_Serial(x->p.f->nnodes, row, x->context);
    int flag = x->cvode != NULL ? CVodeGetDky(x->cvode, t, 0, at) : ERKStepGetDky(x->erk, t, 0, at);
    N_VDestroy(at);
    return flag;
}

static size_t start_after(const solver *x, size_t k)
{
    const bench_stint *s = x->p.s;
    size_t event = bench_stint_event(s, k);
    size_t same = k + 1;
    while (same < event && s->power[same] == s->power[k])
        same++;
    return x->setting->every ? same : event;
}

/* Samples [first, last) in one go. */
static const char *advance(solver *x, size_t first, size_t last, int lanes, int lane, double *dense,
                           bench_result *out)
{
    const bench_stint *s = x->p.s;
    size_t nodes = (size_t)x->p.f->nnodes;
    double end = s->time[last];
    double t = s->time[first];
    size_t k = first;
    x->p.first = x->p.near = first;
    x->p.last = last;
    if (start(x, t, end) < 0)
        return "no new start";
    while (t < end) {
        if (one_step(x, end, &t) < 0)
            return "a step fails";
        const double *T = NV_DATA_S(x->T);
        for (size_t i = 0; i < nodes; i++) {
            double *peak = &out->peak[i * (size_t)lanes + (size_t)lane];
            *peak = T[i] > *peak ? T[i] : *peak;
        }
        out->steps++;
        for (; dense != NULL && k < last && s->time[k + 1] <= t; k++) {
            if (s->time[k + 1] == t)
                memcpy(dense + k * nodes, T, nodes * sizeof *T);
            else if (look_back(x, s->time[k + 1], dense + k * nodes) < 0)
                return "no temperatures within a step";
        }
    }
    return NULL;
}

typedef struct job {
    mbl_model *const *models;
    int lanes;
    const bench_stint *stint;
    const bench_setting *setting;
    bool implicit;
} job;

static const char *drive(const job *x, const bench_field *f, int lane, double *dense,
                         bench_result *out)
{
    solver run;
    const char *wrong = make_solver(&run, f, x->stint, x->setting, x->implicit);
    double begun = bench_clock();
    size_t end = x->implicit ? x->stint->n : x->stint->parked;
    for (size_t k = 0; wrong == NULL && k < end;) {
        size_t next = start_after(&run, k);
        wrong = advance(&run, k, next, x->lanes, lane, dense, out);
        k = next;
    }
    out->seconds += bench_clock() - begun;
    out->evaluations += run.p.evaluations;
    out->jacobians += run.p.jacobians;
    for (int i = 0; wrong == NULL && i < f->nnodes; i++)
        out->end[i * x->lanes + lane] = NV_Ith_S(run.T, i);
    free_solver(&run);
    return wrong;
}

/* Vectors, matrices and factorisations of SUNDIALS are left out of the estimate. */
static void soak_rest(bench_soak *soak, double *dense, bench_result *out)
{
    double begun = bench_clock();
    bench_soak_run(soak, out->end, out->peak, dense);
    out->seconds += bench_clock() - begun;
}

static const char *run_all(const job *x, double *dense, bench_result *out)
{
    bench_field *f = aligned_alloc(64, (sizeof *f + 63) / 64 * 64);
    bench_soak soak = {0};
    const char *wrong = f == NULL ? "out of memory" : NULL;
    unsigned char *at = out->at_step;
    *out = (bench_result){.at_step = at, .samples = x->stint->n};
    for (int w = 0; wrong == NULL && w < x->lanes; w++) {
        const mbl_model *model = x->models[w];
        wrong = bench_field_make(&model, 1, f);
        for (int i = 0; wrong == NULL && i < f->nnodes; i++)
            out->peak[i * x->lanes + w] = f->air[0];
        if (wrong == NULL)
            wrong = drive(x, f, w, w == 0 ? dense : NULL, out);
    }
    if (wrong == NULL && !x->implicit) {
        wrong = bench_soak_make(x->models, x->lanes, x->stint, &soak);
        if (wrong == NULL)
            soak_rest(&soak, dense, out);
        bench_soak_free(&soak);
    }
    out->flops = (double)out->evaluations * (BENCH_FLOPS_RATES + BENCH_FLOPS_STRETCH) / x->lanes;
    if (at != NULL)
        memset(at, 1, x->stint->n);
    free(f);
    return wrong;
}

const char *bench_peer_cvode(mbl_model *const models[], int lanes, const bench_stint *stint,
                             const bench_setting *setting, double *dense, bench_result *out)
{
    return run_all(&(job){models, lanes, stint, setting, true}, dense, out);
}

const char *bench_peer_erk(mbl_model *const models[], int lanes, const bench_stint *stint,
                           const bench_setting *setting, double *dense, bench_result *out)
{
    return run_all(&(job){models, lanes, stint, setting, false}, dense, out);
}
