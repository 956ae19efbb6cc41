/* SPDX-License-Identifier: MIT */
/*
 * General-purpose solvers on the engine's own right-hand side, each at its best: the laws laid out
 * for speed (field.h), lanes side by side where the method allows it, peaks noted at the ends of
 * steps only, no ledger, no wear. They are given less to do than the engine does.
 */
#ifndef MBL_BENCH_PEERS_H
#define MBL_BENCH_PEERS_H

#include "bench/steps.h"

/* One way to run a peer; each peer reads what concerns it. */
typedef struct bench_setting {
    const char *name;
    bench_cut cut; /* fixed steps */
    bool plain;    /* four lanes without the processor's wider registers */
    double rtol;   /* adaptive steps; absolute tolerance is as many kelvin */
    int order;     /* of the explicit method: 3, 4, 5; 0: another of order 5 */
    bool quotient; /* Jacobian by difference quotients, not by formula */
    bool every;    /* a new start wherever power changes, not only from and to none */
} bench_setting;

typedef struct bench_result {
    double seconds; /* of processor time, from the first step to the last; setting up left out */
    size_t samples; /* that were driven, of those of the stint */
    size_t steps, evaluations, jacobians;  /* lanes that go together count once */
    double flops;                          /* estimate, of one lane */
    double peak[BENCH_NODES * BENCH_MOST]; /* [nodes][lanes] K, at the ends of steps */
    double end[BENCH_NODES * BENCH_MOST];  /* [nodes][lanes] K, as the stint ends */
    /* (samples) the caller's, or NULL: where a sample's end is a step's, see bench_errors_of.
     * Adaptive steps end anywhere: all ones, by the peer's interpolant. */
    unsigned char *at_step;
} bench_result;

/*
 * Runs a stint from rest at the models' ambient. 1, 4 or 8 models of one shape; peers that know no
 * lanes run them one after the other. `dense`, [samples][nodes] K at the ends of samples, is filled
 * with the first lane where it is not NULL; such a run is not one to be timed. Returns NULL, or why
 * the peer could not be run.
 */
typedef const char *bench_peer(mbl_model *const models[], int lanes, const bench_stint *stint,
                               const bench_setting *setting, double *dense, bench_result *out);

bench_peer bench_peer_rk4;       /* fixed steps */
bench_peer bench_peer_multirate; /* fixed steps for the quick nodes, macro steps for the slow */
bench_peer bench_peer_cvode;     /* BDF of variable order and step; SUNDIALS */
bench_peer bench_peer_erk;   /* explicit embedded methods of variable step; ARKODE of SUNDIALS */
bench_peer bench_peer_lsoda; /* LSODA as SciPy has it: the first lap of one lane, no peaks */

/* Processor time of this process, s. */
double bench_clock(void);

/*
 * The parked part by the engine's implicit fixed-grid kernel, whose steps grow: explicit peers
 * would spend more on the soak than on the drive. In the steps of the engine's default mode, or,
 * where `dense` is asked for, sample by sample. From `T` [nodes][lanes]; result and dense as above.
 * NULL, or what failed.
 */
typedef struct bench_soak {
    mbl_block *block[BENCH_MOST / BENCH_FOUR];
    int lanes;
    const bench_stint *stint;
} bench_soak;
const char *bench_soak_make(mbl_model *const models[], int lanes, const bench_stint *stint,
                            bench_soak *out);
void bench_soak_run(bench_soak *soak, double *T, double *peak, double *dense);
void bench_soak_free(bench_soak *soak);

/* Floating-point operations of one evaluation of the rates of one lane, counted in field_body.h. */
#define BENCH_FLOPS_RATES   490.0
#define BENCH_FLOPS_QUICK   330.0 /* of the quick nodes alone */
#define BENCH_FLOPS_STRETCH 650.0 /* of set_stretch */

#endif
