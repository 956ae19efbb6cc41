/* SPDX-License-Identifier: MIT */
#include "out/assumed.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

const char *mbl_assumed_word(mbl_origin origin)
{
    static const char *const words[] = {"given", "default", "inferred"};
    return words[origin];
}

static void count(void *ctx, const char *path, const mbl_field *field, const mbl_node *node,
                  mbl_origin origin)
{
    (void)path;
    (void)field;
    (void)node;
    if (origin != MBL_GIVEN)
        ++*(int *)ctx;
}

int mbl_assumed_count(const mbl_run *run)
{
    int n = 0;
    mbl_schema_walk(&mbl_case_schema, run->tree, count, &n);
    return n;
}

static mbl_shown change(mbl_figure figure, mbl_units_system units, double si)
{
    mbl_shown out;
    /* in the hundreds a decimal says nothing more */
    if (fabs(mbl_out_convert(figure.measure, units, si)) >= 100)
        figure.decimals = 0;
    mbl_shown margin = mbl_figure_margin(figure, units, si);
    snprintf(out.s, sizeof out.s, "%s%.20s", margin.s[0] == '-' ? "" : "+", margin.s);
    return out;
}

mbl_assumed_line mbl_assumed_tell(const mbl_doubtful *d, mbl_figure figure, mbl_units_system units)
{
    mbl_assumed_line line;
    const char *path = strncmp(d->path, "car.", 4) == 0 ? d->path + 4 : d->path;
    snprintf(line.what, sizeof line.what, "%.39s", path);
    mbl_quantity quantity = d->field->quantity;
    mbl_rough value = mbl_out_rough(quantity, units, d->value, d->value);
    snprintf(line.value, sizeof line.value, "%.12s%s%.9s", value.number.s,
             value.unit[0] != '\0' ? " " : "", value.unit);
    snprintf(line.tried, sizeof line.tried, "%.12s to %.14s",
             mbl_out_rough(quantity, units, d->value, d->low).number.s,
             mbl_out_rough(quantity, units, d->value, d->high).number.s);
    snprintf(line.margin, sizeof line.margin, "%.12s to %.12s", change(figure, units, d->at_low).s,
             change(figure, units, d->at_high).s);
    return line;
}
