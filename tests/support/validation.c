/* SPDX-License-Identifier: MIT */
#include "support/validation.h"

#include "support/test.h"

enum { CELL = 64 };

/* One row: kind, what, source, expected, got, tolerance, verdict, with tabs between. */
static void write_row(const char *kind, const char *what, const char *source, const char *expected,
                      double got, int digits, const char *tolerance, const char *verdict)
{
    static int rows;
    const char *path = getenv("MBL_VALIDATION");
    if (path == NULL || path[0] == '\0')
        return;
    if (strpbrk(what, "|\t\n") != NULL || strpbrk(source, "|\t\n") != NULL)
        fail_msg("\"%s\" or its source would break a table", what);
    FILE *file = fopen(path, rows == 0 ? "w" : "a");
    if (file == NULL)
        fail_msg("cannot write %s", path);
    fprintf(file, "%s\t%s\t%s\t%s\t%.*g\t%s\t%s\n", kind, what, source, expected, digits, got,
            tolerance, verdict);
    if (fclose(file) != 0)
        fail_msg("cannot write %s", path);
    rows++;
}

static void band_text(double low, double high, char out[CELL])
{
    if (isinf(high))
        snprintf(out, CELL, "at least %.6g", low);
    else if (isinf(low))
        snprintf(out, CELL, "at most %.6g", high);
    else
        snprintf(out, CELL, "%.6g to %.6g", low, high);
}

void validate(const char *what, const char *source, double expected, double got, double tolerance)
{
    char wanted[CELL];
    char allowed[CELL];
    snprintf(wanted, sizeof wanted, "%.9g", expected);
    snprintf(allowed, sizeof allowed, "%.3g", tolerance);
    int met = fabs(got - expected) <= tolerance;
    /* enough figures to see that a fine tolerance is met */
    int digits = tolerance > 0 && tolerance < 1e-5 * fabs(expected) ? 9 : 5;
    write_row("row", what, source, wanted, got, digits, allowed, met ? "yes" : "NO");
    assert_near_at(got, expected, tolerance, what, "validate", 0);
}

void validate_between(const char *what, const char *source, double low, double high, double got)
{
    char band[CELL];
    band_text(low, high, band);
    int met = got >= low && got <= high;
    write_row("row", what, source, band, got, 5, "band", met ? "yes" : "NO");
    if (!met)
        fail_msg("%s = %.9g, expected %s", what, got, band);
}

void validate_not_met(const char *what, const char *source, double low, double high, double got)
{
    char band[CELL];
    band_text(low, high, band);
    int met = got >= low && got <= high;
    write_row("unmet", what, source, band, got, 5, "band", met ? "yes" : "NO");
    if (met || isnan(got))
        fail_msg("%s = %.9g now lies in %s: make it a check", what, got, band);
}

void plausible(const char *what, const char *source, double low, double high, double got)
{
    char band[CELL];
    band_text(low, high, band);
    int inside = got >= low && got <= high;
    write_row("plausible", what, source, band, got, 5, "none",
              inside      ? "inside"
              : got < low ? "below"
                          : "above");
    if (isnan(got))
        fail_msg("%s is not a number", what);
}
