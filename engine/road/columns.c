/* SPDX-License-Identifier: MIT */
#include "road/columns.h"

#include "road/names.h"

#include <stdio.h>
#include <string.h>

static bool given(const char *text)
{
    return text != NULL && text[0] != '\0';
}

/* The unit a column has for a role: the wish's, or the file's, or "". */
static const char *unit_of(const mbl_header *header, const mbl_log_wish *wish, mbl_log_role role,
                           size_t index)
{
    return given(wish->unit[role]) ? wish->unit[role] : header->column[index].unit;
}

/* The unit that is assumed for a role; NULL when it must be given. */
static const char *assumed(const mbl_header *header, mbl_log_role role)
{
    return role == MBL_LOG_SPEED ? header->speed_unit : mbl_names_assumed(role);
}

static bool is_usable(const mbl_header *header, const mbl_log_wish *wish, mbl_log_role role,
                      size_t index)
{
    const char *unit = unit_of(header, wish, role, index);
    double scale = 0;
    if (role == MBL_LOG_TIME)
        return true; /* the clock decides */
    return given(unit) ? mbl_names_scale(role, unit, &scale) : assumed(header, role) != NULL;
}

/* Is the wished unit, when there is one, that of the column? */
static bool same_unit(mbl_log_role role, const char *want, const char *have)
{
    double a = 0;
    double b = 0;
    return want[0] == '\0' || mbl_names_alike(want, have) ||
           (mbl_names_scale(role, want, &a) && mbl_names_scale(role, have, &b) && have[0] != '\0' &&
            a == b);
}

static bool same_name(const char *want, const char *have, bool exact)
{
    return have[0] != '\0' && (exact ? strcmp(want, have) == 0 : mbl_names_alike(want, have));
}

static mbl_columns_found find_wish(const mbl_header *header, const mbl_log_wish *wish,
                                   mbl_log_role role, bool exact)
{
    const char *text = wish->column[role];
    mbl_columns_found found = {.index = -1};
    mbl_header_name want;
    mbl_header_split(text, strlen(text), &want);
    for (size_t i = 0; i < header->columns; i++) {
        const mbl_header_name *have = &header->column[i];
        /* the whole text first: what is in its brackets may be part of the name */
        bool whole = same_name(text, have->name, exact) || same_name(text, have->alias, exact);
        bool split =
            same_name(want.name, have->name, exact) && same_unit(role, want.unit, have->unit);
        if (!whole && !split)
            continue;
        found.repeats += found.index >= 0;
        found.index = found.index < 0 ? (int)i : found.index;
    }
    found.usable = found.index >= 0 && is_usable(header, wish, role, (size_t)found.index);
    return found;
}

static mbl_columns_found find_usual(const mbl_header *header, const mbl_log_wish *wish,
                                    mbl_log_role role, const char *usual, bool with_unit)
{
    mbl_columns_found found = {.index = -1};
    int same = 0;
    for (size_t i = 0; i < header->columns; i++) {
        const mbl_header_name *have = &header->column[i];
        if (!mbl_names_spell(have->name, usual) && !mbl_names_spell(have->alias, usual))
            continue;
        bool usable = is_usable(header, wish, role, i);
        if (with_unit && (!usable || !given(have->unit)))
            continue;
        same++;
        if (found.index < 0 || (usable && !found.usable)) {
            found.index = (int)i;
            found.usable = usable;
        }
    }
    found.repeats = same > 0 ? same - 1 : 0;
    return found;
}

mbl_columns_found mbl_columns_find(const mbl_header *header, const mbl_log_wish *wish,
                                   mbl_log_role role)
{
    if (given(wish->column[role])) {
        mbl_columns_found found = find_wish(header, wish, role, true);
        return found.index >= 0 ? found : find_wish(header, wish, role, false);
    }
    mbl_columns_found unusable = {.index = -1};
    bool with_unit = false;
    for (size_t k = 0;; k++) {
        const char *usual = mbl_names_usual(role, k, &with_unit);
        if (usual == NULL)
            return unusable;
        mbl_columns_found found = find_usual(header, wish, role, usual, with_unit);
        if (found.index >= 0 && found.usable)
            return found;
        if (unusable.index < 0)
            unusable = found;
    }
}

/* The names there are, parted by commas, as many as fit. */
static void list_names(const mbl_header *header, char *out, size_t room)
{
    size_t used = 0;
    out[0] = '\0';
    for (size_t i = 0; i < header->columns; i++) {
        const char *name = header->column[i].name;
        size_t n = strlen(name);
        if (n == 0)
            continue;
        if (used + n + 8 >= room) {
            snprintf(out + used, room - used, ", ...");
            return;
        }
        used += (size_t)snprintf(out + used, room - used, "%s%s", used > 0 ? ", " : "", name);
    }
}

/* "no column "Sped"; did you mean "Speed"?" or the list of what there is. */
static mbl_status missing(const mbl_header *header, const char *wanted, mbl_log_role role,
                          mbl_error *err)
{
    const char *names[MBL_CSV_CELLS];
    char list[400];
    char key[32];
    const char *what = header->tall ? "name" : "column";
    for (size_t i = 0; i < header->columns; i++)
        names[i] = header->column[i].name;
    list_names(header, list, sizeof list);
    mbl_names_key(role, key);
    mbl_status status = MBL_INPUT;
    const char *near = given(wanted) ? mbl_nearest(wanted, names, header->columns) : NULL;
    if (near != NULL && near[0] != '\0')
        status = mbl_fail(err, MBL_INPUT, "no %s \"%s\"; did you mean \"%s\"?", what, wanted, near);
    else if (given(wanted))
        status =
            mbl_fail(err, MBL_INPUT, "no %s \"%s\"; the %ss are: %s", what, wanted, what, list);
    else
        status = mbl_fail(err, MBL_INPUT,
                          "no %s column was recognised; name it with %s = \"...\". The %ss are: %s",
                          mbl_log_role_word(role), key, what, list);
    mbl_error_at(err, NULL, header->line, 0);
    return status;
}

/* Why the unit of a column cannot be used, and how to give it. */
static mbl_status refuse_unit(const mbl_header *header, mbl_log_role role,
                              const mbl_log_column *column, const char *unit, mbl_error *err)
{
    char key[32];
    mbl_status status = MBL_INPUT;
    const char *example = mbl_names_example(role);
    mbl_names_key(role, key);
    if (given(unit))
        status = mbl_fail(err, MBL_INPUT,
                          "\"%s\" is in \"%s\", which is not a known unit of %s; give it, as in "
                          "%s_unit = \"%s\"",
                          column->name, unit, mbl_log_role_word(role), key, example);
    else
        status = mbl_fail(err, MBL_INPUT,
                          "the file does not say the unit of \"%s\"; give it, as in %s_unit = "
                          "\"%s\"",
                          column->name, key, example);
    mbl_error_at(err, NULL, header->units_line > 0 ? header->units_line : header->line, 0);
    return status;
}

mbl_status mbl_columns_take(const mbl_header *header, const mbl_log_wish *wish, mbl_log_role role,
                            mbl_log_column *out, mbl_error *err)
{
    mbl_columns_found found = mbl_columns_find(header, wish, role);
    bool wished = given(wish->column[role]);
    *out = (mbl_log_column){0};
    if (found.index < 0)
        return wished || role == MBL_LOG_TIME ? missing(header, wish->column[role], role, err)
                                              : MBL_OK;
    const mbl_header_name *have = &header->column[found.index];
    const char *unit = unit_of(header, wish, role, (size_t)found.index);
    out->guessed = !wished;
    out->index = found.index;
    out->repeats = found.repeats;
    memcpy(out->name, have->name, sizeof out->name);
    mbl_names_show(out->unit, sizeof out->unit, unit, strlen(unit));
    if (!found.usable) {
        if (wished || role == MBL_LOG_SPEED || given(wish->unit[role]))
            return refuse_unit(header, role, out, unit, err);
        return MBL_OK;
    }
    out->present = true;
    if (!given(unit) && role != MBL_LOG_TIME && given(assumed(header, role))) {
        out->unit_assumed = true;
        snprintf(out->unit, sizeof out->unit, "%s", assumed(header, role));
    }
    return MBL_OK;
}

/* "Long" in g is no longitude left aside when it is the longitudinal acceleration. */
static void forget_taken(mbl_log_column column[MBL_LOG_ROLES])
{
    for (int a = 0; a < MBL_LOG_ROLES; a++)
        for (int b = 0; b < MBL_LOG_ROLES && !column[a].present; b++)
            if (column[b].present && column[a].index == column[b].index)
                column[a] = (mbl_log_column){0};
}

mbl_status mbl_columns_take_all(const mbl_header *header, const mbl_log_wish *wish,
                                mbl_log_column column[MBL_LOG_ROLES], mbl_error *err)
{
    for (int r = 0; r < MBL_LOG_ROLES; r++)
        if (r != MBL_LOG_TIME)
            MBL_TRY(mbl_columns_take(header, wish, (mbl_log_role)r, &column[r], err));
    if (!column[MBL_LOG_SPEED].present && !column[MBL_LOG_DISTANCE].present &&
        !(column[MBL_LOG_LATITUDE].present && column[MBL_LOG_LONGITUDE].present))
        return missing(header, NULL, MBL_LOG_SPEED, err);
    forget_taken(column);
    return MBL_OK;
}
