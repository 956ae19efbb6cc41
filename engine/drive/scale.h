/* SPDX-License-Identifier: MIT */
/*
 * A logged lap as another car would drive it, without a layout.
 *
 * What is taken for granted: the car of the log used, at each place, a share of what it could do
 * there, and the other car uses the same share of what it can.
 *
 *   speeding up   share = a / (pull of the old car at its speed), at most 1
 *   braking       share = -a / (what the old car can brake)
 *   in between    the old car cornered: the new one takes the place at v sqrt(G_new / G_old), with
 * G the grip of the worse axle, load sensitivity and downforce included
 *
 * A new lap is then driven forward and backward under these. Limits: where the line is, how the
 * turns overlap, kerbs and gears of the old car stay as they were, and a place that the old car
 * took flat sets no limit for a faster one. For 15 % of mass or grip, 30 % of power or drag, scaled
 * laps of four courses are within 0.3 % of the laps of their layouts (tests/unit/test_scale.c). A
 * layout (el.track, course:layout) is better for more.
 */
#ifndef MBL_DRIVE_SCALE_H
#define MBL_DRIVE_SCALE_H

#include "drive/drive.h"
#include "drive/lap.h"

/* Two cars as they roll; both need tyre.grip, and power or gearing. */
typedef struct mbl_scale_ask {
    const mbl_car *from, *to;
    double mass_from, mass_to; /* kg */
    double density;            /* kg/m3 of the air */
} mbl_scale_ask;

/*
 * The lap of `trace` at index `lap`, driven by the other car: a trace of one lap. Equal cars give
 * back the lap as it was, within 2e-5 of its time. Fails with MBL_INPUT where a car lacks what is
 * needed.
 */
MBL_NODISCARD mbl_status mbl_scale_lap(const mbl_alloc *alloc, const mbl_trace *trace, size_t lap,
                                       const mbl_scale_ask *ask, mbl_trace **out, mbl_error *err);

#endif
