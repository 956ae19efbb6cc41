/* SPDX-License-Identifier: MIT */
/* What the files of the shortlist share. Private to `study`. */
#ifndef MBL_STUDY_SHORTLIST_PARTS_H
#define MBL_STUDY_SHORTLIST_PARTS_H

#include "study/checks.h"
#include "study/shortlist.h"

/* Options of a slot that drive alike are of one class. */
typedef struct mbl_classes {
    size_t n;
    size_t *of;    /* (options) class of each */
    size_t *order; /* (options) those that may be picked, class by class */
    size_t *start; /* (n + 1) where each class begins in it */
} mbl_classes;

/* What stands in the way of a combination; from MBL_STATE_WHY on a reason of the user's rule. */
enum { MBL_STATE_OPEN = MBL_FITS, MBL_STATE_PANIC = MBL_MISFITS, MBL_STATE_WHY };

/* A drive and what it can rank at best. */
typedef struct mbl_unit {
    double best;
    size_t number;
} mbl_unit;

/* All combinations before any is driven. */
typedef struct mbl_picks {
    const mbl_shortlist_ask *ask;
    size_t all;
    unsigned char *state;                /* (all) */
    mbl_classes classes[MBL_SLOT_KINDS]; /* by slot */
    size_t units;                        /* of every class with every other */
    size_t open;                         /* units with an open combination */
    mbl_unit *unit;                      /* (units) the open ones by rising `best` */
} mbl_picks;

MBL_NODISCARD mbl_status mbl_picks_make(const mbl_shortlist_ask *ask, mbl_shortlist *list,
                                        mbl_picks *out, mbl_error *err);
void mbl_picks_free(mbl_picks *picks);

/* Walks the combinations of a unit, rising within each class; begin with mbl_members_begin. */
typedef struct mbl_members {
    const mbl_picks *picks;
    size_t class[MBL_SLOT_KINDS];
    size_t at[MBL_SLOT_KINDS];
    bool more;
} mbl_members;

void mbl_members_begin(mbl_members *m, const mbl_picks *picks, size_t unit);
bool mbl_members_next(mbl_members *m, mbl_pick pick, size_t *number);

/* What a combination ranks by first: exact but for MBL_BY_EVENT, where it is the least. */
double mbl_shortlist_first(const mbl_shortlist_ask *ask, const mbl_pick pick, const mbl_car *car);

/* The same of a choice that was judged: exact. */
double mbl_choice_first(mbl_shortlist_by by, const mbl_choice *choice);

/* Reads a choice off a run of it. */
void mbl_choice_read(const mbl_shortlist_ask *ask, const mbl_pick pick, size_t number,
                     const mbl_run *run, mbl_choice *out);

/* Works out a run that was driven for another car that drives alike: `run` is a copy to be spent.
 */
void mbl_choice_rejudge(mbl_run *run, const mbl_car *car);

/* Does a rank before b? Nearer to holding: by verdict, by `closest`, and then in rank. */
bool mbl_choice_before(mbl_shortlist_by by, const mbl_choice *a, const mbl_choice *b);
bool mbl_choice_nearer(mbl_shortlist_by by, const mbl_choice *a, const mbl_choice *b);

/* Drives each slot's options by themselves, and the car as it is. */
MBL_NODISCARD mbl_status mbl_shortlist_alone(const mbl_shortlist_ask *ask, mbl_shortlist *list,
                                             mbl_error *err);

/* The step up from a list that is full. */
MBL_NODISCARD mbl_status mbl_shortlist_climb(const mbl_shortlist_ask *ask, const mbl_picks *picks,
                                             mbl_shortlist *list, mbl_error *err);

#endif
