/* SPDX-License-Identifier: MIT */
/*
 * Checks against the world that leave a row behind. Each asserts; when the environment variable
 * MBL_VALIDATION names a file, each also writes a row to it, and docs/validation.md is made of
 * those rows (tests/reference/write_validation.sh). The first row of a program empties the file.
 *
 * `what` says the quantity and its unit; `source` the published work, with "from memory" where it
 * was not opened and "computed" where a number follows from a formula. Neither holds a '|'.
 */
#ifndef MBL_TESTS_VALIDATION_H
#define MBL_TESTS_VALIDATION_H

/* `got` is within `tolerance` of `expected`; NaN fails. */
void validate(const char *what, const char *source, double expected, double got, double tolerance);

/* `got` lies in a published band. An end that is not published is -INFINITY or INFINITY. */
void validate_between(const char *what, const char *source, double low, double high, double got);

/*
 * A published band that the model is known to miss. Fails when `got` lies in it, so that the row
 * is moved up the day the model improves.
 */
void validate_not_met(const char *what, const char *source, double low, double high, double got);

/*
 * Common practice beside what the engine says: a row for the reader, inside the band or not. It
 * is no oracle; the check fails only on what is not a number.
 */
void plausible(const char *what, const char *source, double low, double high, double got);

#endif
