/* SPDX-License-Identifier: MIT */
/* A leg driven with rows of history. Private to `drive`. */
#ifndef MBL_DRIVE_HISTORY_H
#define MBL_DRIVE_HISTORY_H

#include "drive/drive.h"

/* Steps [first, last) of a leg; `time` (s) is that of the first from the start of the leg. Returns
 * the time after the last. */
double mbl_history_run(mbl_drive *drive, const mbl_route_leg *leg, size_t first, size_t last,
                       double time, mbl_history *history);

#endif
