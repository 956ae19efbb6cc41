/* SPDX-License-Identifier: MIT */
/*
 * The cheapest packages that hold: every combination of the options of some slots of a car is
 * ruled out, driven, or known to come after those that are listed. The list is the one that driving
 * every combination would give:
 *
 * - Combinations that drive alike (mbl_part_drives_alike) are judged from one drive: pedal,
 *   balance, money and checks are worked out for each from the peaks of that drive.
 * - Drives are made in the order of what they could rank at best: their money, hours or mass, which
 *   are known beforehand; of consumables the bleeds alone, as wear never takes less than nothing.
 *   Once `want` packages hold, what could only rank behind the last of them is not driven.
 * - What fails at limits.panic against its rating does so whatever the heat, and is not driven.
 *
 * Nothing is taken for granted about what heat does: a better part may make another one fail.
 */
#ifndef MBL_STUDY_SHORTLIST_H
#define MBL_STUDY_SHORTLIST_H

#include "study/batch.h"
#include "study/fits.h"

enum { MBL_SHORTLIST_MOST = 1000000, MBL_SHORTLIST_WANT = 100, MBL_WHYS = 8, MBL_WHY = 80 };

/* What ranks first; equals go on by money, then consumables of the event, then mass. */
typedef enum mbl_shortlist_by {
    MBL_BY_COST,
    MBL_BY_EVENT,
    MBL_BY_MASS,
    MBL_BY_LABOUR
} mbl_shortlist_by;

const char *mbl_shortlist_by_word(mbl_shortlist_by by); /* "cost" */

typedef struct mbl_option {
    const char *name; /* borrowed */
    mbl_part part;
    mbl_fits fits;
} mbl_option;

typedef struct mbl_slot {
    mbl_slot_kind kind;
    bool keep;                /* what is there may stay */
    size_t n;                 /* options, at least 1 */
    const mbl_option *option; /* (n) borrowed; the first is what is there, and costs nothing */
} mbl_slot;

typedef unsigned mbl_pick[MBL_SLOT_KINDS]; /* an option of every slot, 0: what is there */

typedef struct mbl_shortlist_ask {
    const mbl_alloc *alloc; /* used on the calling thread only */
    const mbl_case *setup;  /* the car as it is, and all else; borrowed while it runs */
    size_t nslots;
    mbl_slot slot[MBL_SLOT_KINDS];  /* of rising kinds */
    mbl_fits there[MBL_SLOT_KINDS]; /* of parts on the car, by kind, that are in no slot */
    mbl_room room;
    mbl_shortlist_by by;
    mbl_verdict need; /* the worst that counts as held: MBL_MARGINAL or MBL_HOLDS */
    size_t want;      /* 1 to MBL_SHORTLIST_WANT */
    /* The user's own rule on a pick, or NULL: *fits, and why not. Called for what would be driven.
     */
    mbl_status (*fit)(void *ctx, const mbl_pick pick, bool *fits, char why[MBL_WHY],
                      mbl_error *err);
    void (*told)(void *ctx, size_t done, size_t most); /* drives so far and at most, or NULL */
    void *ctx;
    int workers;
    const volatile sig_atomic_t *stop;
} mbl_shortlist_ask;

/* One combination as it came out. */
typedef struct mbl_choice {
    mbl_pick pick;
    size_t number;   /* of the combination; SIZE_MAX where it is none */
    mbl_price price; /* of what is new */
    double event;    /* consumables of the event */
    double mass;     /* kg, of all brakes */
    mbl_verdict verdict;
    mbl_check tightest;
    double closest; /* its margin over its band: mbl_check_rank */
    size_t up;      /* place in the list of the next one that leaves more; SIZE_MAX: none there */
} mbl_choice;

/* One slot changed and all else as it is. */
typedef struct mbl_alone {
    bool any;   /* an option fits that way */
    bool holds; /* then `best` is the first in rank that does; else the nearest to it */
    mbl_choice best;
} mbl_alone;

typedef struct mbl_shortlist {
    const mbl_alloc *alloc;
    /* every combination is one of: misfit, panic, failed, judged, later */
    size_t all;
    size_t misfit[MBL_MISFITS]; /* by the first rule it breaks; of MBL_MISFIT_ASKED those met */
    size_t panic;               /* fail at limits.panic, whatever the heat */
    size_t failed;              /* could not be driven */
    size_t judged;
    size_t later;  /* could only rank behind the last of the list */
    size_t drives; /* that `judged` came from */
    size_t aside;  /* drives of single changes, and of the car as it is */
    size_t held;   /* of those judged */
    size_t nwhys;
    struct {
        char text[MBL_WHY];
        size_t n;
    } why[MBL_WHYS];           /* of misfit[MBL_MISFIT_ASKED]; the last may stand for others */
    char failure[MBL_WHY * 2]; /* of the first that failed, or "" */
    mbl_choice as_is;
    mbl_alone alone[MBL_SLOT_KINDS]; /* by slot */
    bool missed;                     /* none holds, and there is */
    mbl_choice nearest;              /* the one nearest to it of those judged */
    bool stepped;                    /* the list is full, and a step up from it was found: */
    mbl_choice step;                 /* the first in rank that leaves more than any listed */
    size_t step_drives;              /* drives of looking for it, of which there is a most */
    size_t n;
    mbl_choice *row; /* (n) */
} mbl_shortlist;

/*
 * Free with mbl_shortlist_free. MBL_INPUT where there are too many combinations, and of the car as
 * it is; MBL_STOPPED.
 */
MBL_NODISCARD mbl_status mbl_shortlist_run(const mbl_shortlist_ask *ask, mbl_shortlist *out,
                                           mbl_error *err);
void mbl_shortlist_free(mbl_shortlist *list);

/* How many combinations there are; SIZE_MAX when that is too many to count. */
size_t mbl_shortlist_count(const mbl_shortlist_ask *ask);

/* The options of combination `number`. */
void mbl_shortlist_pick(const mbl_shortlist_ask *ask, size_t number, mbl_pick pick);

/* The car of a pick, and what is new on it. */
void mbl_shortlist_car(const mbl_shortlist_ask *ask, const mbl_pick pick, mbl_car *car);
mbl_price mbl_shortlist_price(const mbl_shortlist_ask *ask, const mbl_pick pick);

/* The first rule of fit that the car of a pick breaks, the user's own left aside. */
mbl_misfit mbl_shortlist_misfit(const mbl_shortlist_ask *ask, const mbl_pick pick,
                                const mbl_car *car);

/* Money of a price. */
double mbl_price_sum(const mbl_price *price);

#endif
