/* SPDX-License-Identifier: MIT */
/*
 * The first half of reading a log: what the file says, channel by channel, each sample with its
 * stamp and its line. Every shape of file (rows, tall, sections, GPX) ends here, so that whatever
 * comes after knows one thing only. Channels may have stamps of their own: several rates in one
 * file are the normal case. Nothing is repaired yet. Private to `road`.
 */
#ifndef MBL_ROAD_IMPORT_H
#define MBL_ROAD_IMPORT_H

#include "road/log.h"

/* One channel, in the order of the file. Grown by mbl_import_add: the three arrays are one block. */
typedef struct mbl_series {
    size_t n, room;
    double *t; /* (n) s, as the clock says: may repeat, fall, begin again */
    double *x; /* (n) SI; lap: number; positions: degrees; throttle: as logged */
    int *line; /* (n) 1-based */
} mbl_series;

typedef struct mbl_import {
    const mbl_alloc *alloc;
    mbl_log_shape shape;
    mbl_log_clock clock;
    char delimiter, decimal;
    int header_line, units_line;
    size_t comments, columns;
    mbl_log_column column[MBL_LOG_ROLES];
    mbl_series series[MBL_LOG_ROLES]; /* of TIME only the column is used */
    size_t rows;                      /* rows of data seen */
    mbl_repair repair[MBL_REPAIRS];   /* BLANK, UNREADABLE, TORN, MIDNIGHT are counted here */
} mbl_import;

/*
 * Reads text or XML of any known shape. Fails with MBL_INPUT and the line when it is none, when
 * a wished column is not there, when a unit is missing or unknown, or when nothing gives a
 * speed: there must be SPEED, or DISTANCE, or both positions. Free with mbl_import_free, also
 * after a failure (a zeroed import may be freed).
 */
MBL_NODISCARD mbl_status mbl_import_parse(const mbl_alloc *alloc, const char *bytes, size_t size,
                                          const mbl_log_wish *wish, mbl_import *out,
                                          mbl_error *err);
void mbl_import_free(mbl_import *import);

/* Adds a sample to a role; false when memory runs out. For the readers of the shapes. */
bool mbl_import_add(mbl_import *import, mbl_log_role role, double t, double x, int line);

/* Counts one repair at a line. */
void mbl_repair_note(mbl_repair *repair, int line, double amount);

/* The readers of the shapes; each fills an import whose alloc is set. */
MBL_NODISCARD mbl_status mbl_import_rows(const char *bytes, size_t size, const mbl_log_wish *wish,
                                         mbl_import *out, mbl_error *err); /* wide and tall */
MBL_NODISCARD mbl_status mbl_import_sections(const char *bytes, size_t size,
                                             const mbl_log_wish *wish, mbl_import *out,
                                             mbl_error *err);
MBL_NODISCARD mbl_status mbl_import_gpx(const char *bytes, size_t size, const mbl_log_wish *wish,
                                        mbl_import *out, mbl_error *err);

/*
 * The second half: makes the clean table from an import. Unwraps clocks that begin again, drops
 * what goes back, rebuilds or spreads bunched stamps, works out speed from distance or positions
 * where there is none, bridges frozen speeds, spikes and gaps, takes the resting offset off
 * pressures, and puts every channel on the stamps of the speed. Counts all it does.
 */
MBL_NODISCARD mbl_status mbl_log_assemble(const mbl_import *import, const char *name,
                                          const mbl_log_wish *wish, mbl_log **out,
                                          mbl_error *err);

#endif
