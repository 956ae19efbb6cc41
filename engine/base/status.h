/* SPDX-License-Identifier: MIT */
/*
 * How every fallible call reports: one status by return, and the story in an error that the
 * caller owns. Nothing is global, nothing is allocated, outputs are untouched on failure.
 */
#ifndef MBL_BASE_STATUS_H
#define MBL_BASE_STATUS_H

/* X(NAME, what it means). The order is the value; 0 is success. */
#define MBL_STATUS_LIST(X)                                                                         \
    X(OK, "done")                                                                                  \
    X(INPUT, "the input is wrong")                                                                 \
    X(FILE, "a file could not be read or written")                                                 \
    X(MEMORY, "out of memory")                                                                     \
    X(NUMERIC, "a number is no longer finite")                                                     \
    X(STOPPED, "interrupted")                                                                      \
    X(INTERNAL, "the engine broke one of its own rules")

typedef enum mbl_status {
#define MBL_STATUS_ENUM(name, text) MBL_##name,
    MBL_STATUS_LIST(MBL_STATUS_ENUM)
#undef MBL_STATUS_ENUM
} mbl_status;

/* One sentence for a status; never NULL. */
const char *mbl_status_text(mbl_status status);

/*
 * The story of a failure. Zero it before use (`mbl_error err = {0}`). The first failure wins:
 * later calls to mbl_fail leave it alone.
 */
typedef struct mbl_error {
    mbl_status status;
    int line;       /* 1-based line in `file`; 0 when it does not apply */
    int column;     /* 1-based column; 0 when it does not apply */
    char file[192]; /* file or script the problem is in; "" when it does not apply */
    char path[128]; /* key path such as front.rotor.ring_mass; "" when it does not apply */
    char text[640]; /* what is wrong, the value, the range, the likely slip */
} mbl_error;

#if defined(__GNUC__)
#define MBL_PRINTF(f, a) __attribute__((format(printf, f, a)))
#define MBL_NODISCARD    __attribute__((warn_unused_result))
#else
#define MBL_PRINTF(f, a)
#define MBL_NODISCARD
#endif

/* Records a failure (err may be NULL) and returns `status`, so that it can end a function. */
mbl_status mbl_fail(mbl_error *err, mbl_status status, const char *format, ...) MBL_PRINTF(3, 4);

/* Adds where it happened, for whichever of these is still unknown. Pass NULL or 0 to skip one. */
void mbl_error_at(mbl_error *err, const char *file, int line, int column);

/* Puts `key` in front of the path: "rotor.mass" becomes "front.rotor.mass". */
void mbl_error_under(mbl_error *err, const char *key);

/* Returns from the caller with the status of `call` when it is not MBL_OK. */
#define MBL_TRY(call)                                                                              \
    do {                                                                                           \
        mbl_status mbl_try_ = (call);                                                              \
        if (mbl_try_ != MBL_OK)                                                                    \
            return mbl_try_;                                                                       \
    } while (0)

#endif
