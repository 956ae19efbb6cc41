/* SPDX-License-Identifier: MIT */
/*
 * The clocks of loggers: what a stamp means in seconds. A stamp that falls or stands still is
 * handed on as it is; only midnight is carried over, because a clock of the day must.
 */
#ifndef MBL_ROAD_CLOCK_H
#define MBL_ROAD_CLOCK_H

#include "road/csv.h"
#include "road/log.h"

/* Stamps that are enough to choose by. */
enum { MBL_CLOCK_SAMPLE = 256 };

typedef struct mbl_clock {
    mbl_log_clock kind;
    char decimal;
    double scale; /* s per unit of a plain number */
    long day;     /* DATE: of the first stamp, from 1970-01-01 */
    bool started; /* there was a stamp */
    double last;  /* s, the stamp before, without the carried days */
    int carried;  /* midnights passed */
} mbl_clock;

/* Is this a stamp that is no plain number: 1:02:03.5, 2:03.5, 2031-05-04T12:30:01Z? */
bool mbl_clock_is_stamp(mbl_csv_cell cell);

/*
 * Chooses the kind of clock from n <= MBL_CLOCK_SAMPLE stamps and from the name and unit of the
 * column; sets its unit where none is given. `wished`: the unit is the user's and wins over what
 * the stamps look like. `of_day`: hhmmss is the usual clock of this shape of file. Without a unit
 * plain numbers are
 *   since 1970         in seconds from 9e8 (1998), in milliseconds from 9e11;
 *   hhmmss             when all have six digits before the mark and are times of day, and one
 *                      begins with 0, or two are across a full minute, or the name says so;
 *   milliseconds       when whole and 5 to 1000 apart: seconds as far apart would be of no use;
 *   seconds            otherwise.
 * Fails for a unit that is none of time.
 */
MBL_NODISCARD mbl_status mbl_clock_choose(mbl_clock *clock, const mbl_csv_cell *cell, size_t n,
                                          char decimal, bool wished, bool of_day,
                                          mbl_log_column *column, mbl_error *err);

/*
 * Reads a stamp as seconds: as the clock says, for DATE from the midnight (UTC) before the first
 * one. False when it is none. *midnight: the clock of the day went past midnight since the stamp
 * before, and the days are carried on.
 */
bool mbl_clock_read(mbl_clock *clock, mbl_csv_cell cell, double *seconds, bool *midnight);

#endif
