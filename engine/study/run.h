/* SPDX-License-Identifier: MIT */
/*
 * One case run and judged: what got how hot and when, which limits were passed, what that means,
 * and how many more laps there are in it. Everything is SI and kelvin; people's units are put on
 * at the way out.
 */
#ifndef MBL_STUDY_RUN_H
#define MBL_STUDY_RUN_H

#include "study/bill.h"

/* How an assumption moves the margin that limits the run; see study/assumptions.h. */
typedef struct mbl_doubtful {
    char path[96]; /* of the key; "car.front/rear. ..." when it stands for both axles */
    const mbl_field *field;
    double value;           /* as assumed, SI */
    double low, high;       /* tried, SI */
    double at_low, at_high; /* change of the limiting margin, in its quantity */
} mbl_doubtful;

enum { MBL_DOUBTFUL_SHOWN = 5 };

typedef enum mbl_verdict { MBL_HOLDS, MBL_MARGINAL, MBL_FAILS } mbl_verdict;

const char *mbl_verdict_word(mbl_verdict verdict); /* "holds" */

typedef enum mbl_check_kind {
    /* heat, of an axle */
    MBL_CHECK_ROTOR,    /* core against limits.rotor */
    MBL_CHECK_GRADIENT, /* rubbed face above core, a difference, against limits.gradient */
    MBL_CHECK_PAD,      /* pad face against the upper end of its window */
    MBL_CHECK_COLD,     /* pad face, as the first hard stop of the first hot lap begins, against the
                           lower end of its window; marginal at worst: it bites late, once */
    MBL_CHECK_CALIPER,  /* body against limits.caliper */
    MBL_CHECK_FLUID,    /* fluid against the boiling point that judges */
    MBL_CHECK_HOSE,     /* end of a duct's hose against what it bears; only where there is a duct */
    MBL_CHECK_WORN,     /* friction material left after the event, against the pad's worn_at */
    MBL_CHECK_THIN,     /* thickness of the rotor after the event, against its minimum if given */
    MBL_CHECK_EFFORT,   /* car: effort of the hardest application, against pedal.effort_limit;
                           what is above it is a shortfall */
    MBL_CHECK_TRAVEL,   /* car: share of a master's stroke used at it, against all of it */
    MBL_CHECK_PANIC,    /* line pressure at limits.panic, against what bears it; marginal at worst
                          where the    caliper has no rating of its own */
    MBL_CHECK_GRIP,     /* car: deceleration of the stint, against the first lock */
    MBL_CHECK_BALANCE,  /* car: front share above the ideal one at the first lock, against 0; with
                           ABS marginal at worst */
    MBL_CHECK_BITE,     /* car: see mbl_bite, against limits.bite */
    MBL_CHECK_FOUND,    /* car: what an inspection found; never passes */
    MBL_CHECK_KINDS
} mbl_check_kind;

const char *mbl_check_word(mbl_check_kind kind); /* "pad" */

/* Of limit, margin, band and peak.T of a check: LEVEL for most, then margin and band are RISEs. */
mbl_quantity mbl_check_quantity(mbl_check_kind kind);

/* Is the limit a lower one? */
bool mbl_check_from_below(mbl_check_kind kind);

/* Margin over band: checks rank by it. */
struct mbl_check;
double mbl_check_rank(const struct mbl_check *check);

enum { MBL_WHOLE_CAR = -1 }; /* the axle of a check that belongs to none */

/* The highest temperature of a node, and when. */
typedef struct mbl_peak {
    double T;    /* K */
    double at;   /* s since the start of the stint */
    int lap;     /* lap it fell in, or the lap before the car was parked */
    bool parked; /* while the car stood */
} mbl_peak;

/* When a level was first passed, on track and while parked. */
typedef struct mbl_passing {
    int lap;       /* 0: never on track */
    double parked; /* s since the car was parked; NAN: never while parked */
    double above;  /* s in total */
} mbl_passing;

/* All in SI, of the quantity of the kind. */
typedef struct mbl_check {
    mbl_check_kind kind;
    int axle; /* 0 front, 1 rear, MBL_WHOLE_CAR */
    double limit;
    double margin; /* what is left; negative when passed */
    double band;   /* below which it is marginal */
    mbl_peak peak;
    mbl_passing passing;
    mbl_verdict verdict;
} mbl_check;

typedef struct mbl_axle_result {
    mbl_peak peak[MBL_CORNER_NODES];   /* over the whole stint */
    mbl_peak track[MBL_CORNER_NODES];  /* on track (the stop in the pits included) */
    mbl_peak parked[MBL_CORNER_NODES]; /* T = 0 when the car was never parked */
    double wet, now; /* K, boiling points at the altitude: wet test, present water */
    double margin_wet, margin_now, margin; /* K; the last is the one that judges */
    mbl_passing wet_passed, boils;         /* of the wet and of the present point */
    double work;                           /* J, friction work of one wheel */
    double worn;                           /* m3 of friction material, both pads of one wheel */
    double vapour;    /* m3 that the hottest fluid of one caliper boils off, pedal released */
    double duct_flow; /* kg/s to one wheel at the highest speed of the stint; 0 without a duct */
    mbl_life_result life;
} mbl_axle_result;

/* One leg of the stint. */
typedef struct mbl_leg_result {
    mbl_leg leg;
    mbl_leg_report report;
    double peak[MBL_AXLES * MBL_CORNER_NODES]; /* K, in the leg */
} mbl_leg_result;

/* Most laps that are tried beyond the stint. */
enum { MBL_MORE_LAPS_CAP = 60 };

/* How far the last run of hot laps could go before a limit is passed, there or in what follows. */
typedef struct mbl_reach {
    bool known;           /* false: the stint has no hot lap */
    int hot_laps;         /* laps in that run, as asked */
    int holds;            /* laps of it that pass no limit; may exceed hot_laps by up to the cap */
    bool capped;          /* no limit was found within the cap */
    mbl_check_kind limit; /* what gives out on the next lap (unless capped) */
    int axle;
    bool parked; /* it would give out while parked */
} mbl_reach;

typedef struct mbl_ledger {
    double energy;   /* J, braking energy of the whole car at the tyres */
    double heat;     /* J, put into the two modelled wheels */
    double stored;   /* J */
    double lost;     /* J */
    double residual; /* share of heat that is not accounted for */
} mbl_ledger;

typedef struct mbl_run {
    const mbl_alloc *alloc;
    mbl_case setup;   /* as run */
    mbl_node *tree;   /* what the user said, or NULL */
    mbl_trace *trace; /* one reference */
    double step;      /* s, of a fixed grid; 0: by the mode of the case */
    mbl_mode mode;    /* how finely time was cut: as asked, where the model can stride */

    size_t nlegs;
    mbl_leg_result *legs;
    int laps;
    double duration;   /* s */
    double hot_energy; /* J, of the last hot lap */

    mbl_axle_result axle[MBL_AXLES];
    int nown; /* nodes of the user's own, front first; names in drive->model->node[28 ...] */
    mbl_peak own[MBL_AXLES * MBL_EXTRA_NODES];
    size_t npaths;
    const char (*path)[MBL_NAME_MAX]; /* (npaths) borrowed from the model */
    double *lost_by_path;             /* (npaths) J */
    mbl_ledger ledger;

    /* pad face as the first hard stop of the first hot lap begins; lap 0 when there is none */
    mbl_peak first_stop[MBL_AXLES];
    mbl_peak gradient[MBL_AXLES]; /* the widest a face stood above its core; T is a difference */
    int nchecks;
    mbl_check checks[MBL_AXLES * MBL_CHECK_KINDS]; /* tightest first: by margin over band */
    mbl_verdict verdict;                           /* the worst of the checks */
    mbl_reach reach;
    mbl_pedal_result pedal;
    mbl_balance_result balance;
    mbl_weights weights;
    mbl_bill bill;
    int ndoubtful;                             /* found by mbl_run_doubt; 0 before */
    mbl_doubtful doubtful[MBL_DOUBTFUL_SHOWN]; /* the greatest first */
    struct mbl_session_plan *plan;             /* owned; NULL until mbl_run_plan */
    struct mbl_run *base;                      /* owned: the car before the change; or NULL */
    mbl_drive *drive;                          /* kept for its names and for running again */
} mbl_run;

/*
 * Runs a case. `setup` is copied; its trace gets one more reference; `tree` may be NULL and gets
 * one more reference otherwise. `step` as in mbl_drive_make. Free with mbl_run_free.
 */
MBL_NODISCARD mbl_status mbl_run_make(const mbl_alloc *alloc, const mbl_case *setup, mbl_node *tree,
                                      double step, mbl_run **out, mbl_error *err);
void mbl_run_free(mbl_run *run);

/*
 * The same on a given grid and without what lies beyond the stint (reach, base): what one
 * question out of many asks. Film laws come from `films` and are kept there.
 */
MBL_NODISCARD mbl_status mbl_run_quick(const mbl_alloc *alloc, const mbl_case *setup, double step,
                                       mbl_film_store *films, mbl_run **out, mbl_error *err);

/* The check of a kind and axle, or NULL. */
const mbl_check *mbl_run_check_of(const mbl_run *run, mbl_check_kind kind, int axle);

/* Finds the session plan, once; see study/session.h. */
MBL_NODISCARD mbl_status mbl_run_plan(mbl_run *run, mbl_error *err);

/* Checks that a case can run (lap there, network sound) without running it. */
MBL_NODISCARD mbl_status mbl_run_check(const mbl_alloc *alloc, const mbl_case *setup,
                                       mbl_error *err);

/*
 * Months until the fluid, at its uptake, has taken up so much water that its present boiling point
 * is only the marginal band above its peak of this stint; 0 when it is already, INFINITY when it
 * never is, NAN for a fluid that does not dissolve water or takes none up.
 */
double mbl_run_bleed_months(const mbl_run *run);

/* Drives the stint again, the same to the last bit, handing out its history. */
MBL_NODISCARD mbl_status mbl_run_replay(const mbl_run *run, mbl_history *history, mbl_error *err);

#endif
