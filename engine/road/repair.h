/* SPDX-License-Identifier: MIT */
/*
 * The steps between what a file says and a clean table: see mbl_log_assemble. Each counts what it
 * does. Private to `road`.
 */
#ifndef MBL_ROAD_REPAIR_H
#define MBL_ROAD_REPAIR_H

#include "road/import.h"

/*
 * A table while it is repaired; its arrays live in the arena. Rows are the samples of one role,
 * the base: speed, or what speed is worked out from.
 */
typedef struct mbl_table {
    mbl_arena *arena;
    const mbl_import *import;
    mbl_log_role base;
    bool by_line; /* stamps were made anew: other samples are placed by their lines */
    size_t n;
    int *line;
    double *stamp;            /* (n) s, as the clock says, resets carried on */
    double *t;                /* (n) s, repaired, from 0 */
    unsigned char *keep;      /* (n) row is used; while the clock is repaired */
    double *x[MBL_LOG_ROLES]; /* (n) or NULL; x[TIME] is not used */
    double *work;             /* (n) for anybody, between calls */
    mbl_log_column column[MBL_LOG_ROLES];
    mbl_repair repair[MBL_REPAIRS];
} mbl_table;

/* Room for the arrays of a table of n rows; false when memory runs out. */
bool mbl_table_room(mbl_table *table, size_t n);

/* Leaves out the rows whose keep is 0, from all arrays. */
void mbl_table_pack(mbl_table *table);

/* Rows begin..end - 1 of column x become a straight line between the rows around them. */
void mbl_table_bridge(const mbl_table *table, double *x, size_t begin, size_t end);

/*
 * Clock (repair_clock.c): unwraps resets, marks rows that go back, rebuilds or spreads stamps.
 * Fills t and keep. Fails with MBL_INPUT when most rows go back, or with MBL_MEMORY.
 */
MBL_NODISCARD mbl_status mbl_repair_clock(mbl_table *table, mbl_error *err);

/*
 * Carries on the clock of n samples where it begins again. Lap and distance at the samples
 * support a reset; NULL when there are none. Counts in `repair` unless it is NULL; `number`
 * becomes the count of resets so far at each sample, unless it is NULL. `work` has room for n.
 */
void mbl_unwrap_clock(double *t, const int *line, size_t n, const double *lap,
                      const double *distance, mbl_repair *repair, double *work, double *number);

/* Stamps made anew (repair_stamps.c): called by mbl_repair_clock when they bunch or repeat. */
bool mbl_stamps_bunch(const mbl_table *table);
MBL_NODISCARD mbl_status mbl_repair_stamps(mbl_table *table, mbl_error *err);

/* Puts all other roles on the rows that are kept, by the repaired clock (align.c). */
MBL_NODISCARD mbl_status mbl_align(mbl_table *table, mbl_error *err);

/* Speed from distance or positions, smoothed no more than their noise asks for (derive.c). */
MBL_NODISCARD mbl_status mbl_derive_speed(mbl_table *table, mbl_error *err);

/* Distance driven at each row, laps joined, from distance or positions; false without. */
bool mbl_driven(const mbl_table *table, double *out);

/* Metres in a degree north and east at a latitude, degrees. */
void mbl_degree_at(double latitude, double *north, double *east);

/* Samples that repeat (repair_repeats.c), then the speeds (repair_speed.c), then pressures. */
void mbl_repair_repeats(mbl_table *table);
void mbl_repair_frozen(mbl_table *table);
void mbl_repair_spikes(mbl_table *table);
void mbl_repair_gaps(mbl_table *table);
void mbl_repair_pressures(mbl_table *table);

#endif
