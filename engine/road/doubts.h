/* SPDX-License-Identifier: MIT */
/* What may be wrong with a log that no repair can put right, and what it may cost. */
#ifndef MBL_ROAD_DOUBTS_H
#define MBL_ROAD_DOUBTS_H

#include "base/base.h"

#include <stdbool.h>

/* X(NAME, what is doubted, unit of `value` or "" for a share). In the order they are printed. */
#define MBL_DOUBT_LIST(X)                                                                          \
    X(ENDS_AT_SPEED, "the log ends at speed: the last stop is not in it", "m/s")                   \
    X(NO_ALTITUDE, "no altitude: the road is taken as level", "")                                  \
    X(DISTANCE, "distance as logged is not what the speed adds up to", "")                         \
    X(POWER, "speed rises faster than any car can: speed or time is wrong", "W/kg")                \
    X(DECELERATION, "speed falls faster than any brakes can: speed or time is wrong", "m/s2")      \
    X(COARSE, "speed comes in coarse steps: gentle braking is lost", "m/s")                        \
    X(SLOW, "few samples a second: brakes on and off are guessed", "Hz")                           \
    X(PRESSURE, "line pressure does not explain the braking, which is inferred from speed", "")    \
    X(BRIDGED, "much of the time is bridged, with braking that nobody saw", "")

typedef enum mbl_doubt_kind {
#define MBL_DOUBT_ENUM(name, text, unit) MBL_DOUBT_##name,
    MBL_DOUBT_LIST(MBL_DOUBT_ENUM)
#undef MBL_DOUBT_ENUM
        MBL_DOUBTS
} mbl_doubt_kind;

const char *mbl_doubt_text(mbl_doubt_kind kind);
const char *mbl_doubt_unit(mbl_doubt_kind kind);

typedef struct mbl_doubt {
    bool found;
    double value; /* SI: speed at the end, logged over driven distance, W/kg, m/s2, step, Hz,
                     scatter of the stops about the scale of pressure, share of time bridged */
    int line;     /* 1-based line where it is worst; 0 when it is no matter of one line */
} mbl_doubt;

struct mbl_log;
struct mbl_trace;

/* What is doubtful about a log and the trace made of it. Needs all else in the trace. */
void mbl_doubts_find(const struct mbl_log *log, const struct mbl_trace *trace,
                     mbl_doubt out[MBL_DOUBTS]);

#endif
