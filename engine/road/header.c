/* SPDX-License-Identifier: MIT */
/*
 * Loggers write anything above their columns: format, vehicle, date, number of samples. The
 * header is the first row that has a name for time and one for speed; the same words alone in
 * the preamble are not. When no row has both, the row above the first rows of numbers is taken
 * as the header, so that the message can list what the file does have.
 */
#include "road/header.h"

#include "parts/units.h"

#include <stdio.h>
#include <string.h>

/* Usual names, the likeliest first; compared without case, blanks and punctuation. */
static const char *const usual[MBL_LOG_ROLES][9] = {
    [MBL_LOG_TIME] = {"time", "t", "elapsedtime", "sessiontime", "timestamp", "seconds"},
    [MBL_LOG_SPEED] = {"speed", "velocity", "v", "gpsspeed", "vehiclespeed", "groundspeed",
                       "carspeed"},
    [MBL_LOG_LAP] = {"lap", "lapnumber", "lapno", "laps"},
    [MBL_LOG_DISTANCE] = {"distance", "dist", "lapdistance", "gpsdistance"},
    [MBL_LOG_ALTITUDE] = {"altitude", "alt", "elevation", "height", "gpsaltitude"},
};

static const char *const words[MBL_LOG_ROLES] = {"time", "speed", "lap", "distance", "altitude"};

static const mbl_quantity quantity[MBL_LOG_ROLES] = {
    [MBL_LOG_TIME] = MBL_Q_TIME,       [MBL_LOG_SPEED] = MBL_Q_SPEED,
    [MBL_LOG_LAP] = MBL_Q_COUNT,       [MBL_LOG_DISTANCE] = MBL_Q_LENGTH,
    [MBL_LOG_ALTITUDE] = MBL_Q_LENGTH,
};

/* Spellings that loggers use and people do not. */
static const char *const spelling[][2] = {
    {"kph", "km/h"}, {"kmh", "km/h"}, {"kmph", "km/h"}, {"km/hr", "km/h"}, {"mi/h", "mph"},
    {"mps", "m/s"},  {"sec", "s"},    {"secs", "s"},    {"second", "s"},   {"seconds", "s"},
    {"msec", "ms"},  {"feet", "ft"},  {"metres", "m"},  {"meters", "m"},   {"milliseconds", "ms"},
};

const char *mbl_log_role_word(mbl_log_role role)
{
    return (unsigned)role < MBL_LOG_ROLES ? words[role] : "unknown";
}

static char lower(char c)
{
    return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

static bool given(const char *text)
{
    return text != NULL && text[0] != '\0';
}

bool mbl_header_scale(mbl_log_role role, const char *unit, double *scale)
{
    char plain[16];
    size_t n = strlen(unit);
    if (n >= sizeof plain)
        return false;
    for (size_t i = 0; i <= n; i++)
        plain[i] = lower(unit[i]);
    const char *known = plain;
    for (size_t i = 0; i < sizeof spelling / sizeof spelling[0]; i++)
        if (strcmp(plain, spelling[i][0]) == 0)
            known = spelling[i][1];
    double offset = 0;
    return mbl_units_find(quantity[role], known, scale, &offset);
}

static bool is_unit(const char *unit)
{
    double scale = 0;
    return mbl_header_scale(MBL_LOG_SPEED, unit, &scale) ||
           mbl_header_scale(MBL_LOG_TIME, unit, &scale) ||
           mbl_header_scale(MBL_LOG_DISTANCE, unit, &scale);
}

/* Copies n bytes, cut to fit between characters, doubled quotes single. */
static void copy(char *out, size_t room, const char *text, size_t n)
{
    size_t k = 0;
    for (size_t i = 0; i < n && k + 1 < room; i++) {
        if (text[i] == '"' && i + 1 < n && text[i + 1] == '"')
            i++;
        out[k++] = text[i];
    }
    /* no half of a UTF-8 character at the end */
    if (k + 1 == room)
        while (k > 0 && ((unsigned char)out[k - 1] & 0x80) != 0)
            k--;
    while (k > 0 && out[k - 1] == ' ')
        k--;
    out[k] = '\0';
}

void mbl_header_split(const char *text, size_t n, mbl_header_name *out)
{
    copy(out->name, sizeof out->name, text, n);
    out->unit[0] = '\0';
    if (n > 2 && (text[n - 1] == ']' || text[n - 1] == ')')) {
        char open = text[n - 1] == ']' ? '[' : '(';
        size_t i = n - 1;
        while (i > 0 && text[i] != open)
            i--;
        if (i > 0) {
            copy(out->name, sizeof out->name, text, i);
            copy(out->unit, sizeof out->unit, text + i + 1, n - i - 2);
        }
        return;
    }
    size_t cut = n;
    while (cut > 0 && text[cut - 1] != ' ' && text[cut - 1] != '_')
        cut--;
    char unit[16] = "";
    if (cut < 2 || n - cut >= sizeof unit)
        return;
    copy(unit, sizeof unit, text + cut, n - cut);
    if (is_unit(unit)) {
        copy(out->name, sizeof out->name, text, cut - 1);
        memcpy(out->unit, unit, sizeof unit);
    }
}

static bool same_text(const char *a, const char *b)
{
    for (; *a != '\0' && lower(*a) == lower(*b);) {
        a++;
        b++;
    }
    return lower(*a) == lower(*b);
}

/* Does `name` without case, blanks and punctuation spell `plain`? */
static bool same_word(const char *name, const char *plain)
{
    for (; *name != '\0'; name++) {
        char c = lower(*name);
        if (c == ' ' || c == '_' || c == '-' || c == '.')
            continue;
        if (c != *plain++)
            return false;
    }
    return *plain == '\0';
}

/*
 * Index of the column for a role, or -1; `repeats` counts others of the same name. A wish picks
 * by name and, when it has one, by unit.
 */
static int find_column(const mbl_header *header, const mbl_log_wish *wish, mbl_log_role role,
                       int *repeats)
{
    int found = -1;
    *repeats = 0;
    if (given(wish->column[role])) {
        mbl_header_name want;
        mbl_header_split(wish->column[role], strlen(wish->column[role]), &want);
        for (size_t i = 0; i < header->columns; i++) {
            const mbl_header_name *have = &header->column[i];
            if (!same_text(have->name, want.name) ||
                (want.unit[0] != '\0' && !same_text(have->unit, want.unit)))
                continue;
            *repeats += found >= 0;
            found = found < 0 ? (int)i : found;
        }
        return found;
    }
    for (size_t k = 0; found < 0 && usual[role][k] != NULL; k++)
        for (size_t i = 0; i < header->columns; i++)
            if (same_word(header->column[i].name, usual[role][k])) {
                *repeats += found >= 0;
                found = found < 0 ? (int)i : found;
            }
    return found;
}

static void read_names(const mbl_csv *csv, mbl_header *out)
{
    out->line = csv->line;
    out->units_line = 0;
    out->columns = csv->n;
    for (size_t i = 0; i < csv->n; i++)
        mbl_header_split(csv->cell[i].text, csv->cell[i].n, &out->column[i]);
}

static size_t count_numbers(const mbl_csv *csv)
{
    size_t n = 0;
    double value = 0;
    for (size_t i = 0; i < csv->n; i++)
        n += mbl_csv_number(csv->cell[i], &value) || mbl_csv_decimal_comma(csv->cell[i]);
    return n;
}

/* Takes the next row as units when it has no number and is no longer than the names. */
static void read_units(mbl_csv *csv, mbl_header *header)
{
    mbl_csv before = *csv;
    do {
        if (!mbl_csv_next(csv)) {
            *csv = before;
            return;
        }
    } while (csv->n == 0);
    if (count_numbers(csv) > 0 || csv->n > header->columns) {
        *csv = before;
        return;
    }
    header->units_line = csv->line;
    for (size_t i = 0; i < csv->n; i++) {
        const char *text = csv->cell[i].text;
        size_t n = csv->cell[i].n;
        /* "[km/h]" and "(km/h)" */
        if (n > 2 && (text[0] == '[' || text[0] == '(')) {
            text++;
            n -= 2;
        }
        if (n > 0)
            copy(header->column[i].unit, sizeof header->column[i].unit, text, n);
    }
}

/* The row above the first row of numbers, or above the units row on it. */
static bool find_by_shape(mbl_csv *csv, mbl_header *out)
{
    mbl_csv start = *csv;
    int candidate[2] = {0, 0};
    size_t cells[2] = {0, 0};
    bool numbers = false;
    while (!numbers && mbl_csv_next(csv)) {
        if (csv->n == 0)
            continue;
        numbers = csv->n > 1 && 2 * count_numbers(csv) >= csv->n && cells[1] == csv->n &&
                  candidate[1] > 0;
        if (numbers)
            break;
        candidate[0] = candidate[1];
        cells[0] = cells[1];
        candidate[1] = count_numbers(csv) == 0 ? csv->line : 0;
        cells[1] = csv->n;
    }
    int line = candidate[0] != 0 && cells[0] == cells[1] ? candidate[0] : candidate[1];
    *csv = start;
    while (numbers && mbl_csv_next(csv))
        if (csv->line == line) {
            read_names(csv, out);
            return true;
        }
    return false;
}

mbl_status mbl_header_find(mbl_csv *csv, const mbl_log_wish *wish, mbl_header *out, mbl_error *err)
{
    mbl_csv start = *csv;
    bool found = false;
    while (!found && mbl_csv_next(csv)) {
        if (csv->too_many) {
            mbl_status status =
                mbl_fail(err, MBL_INPUT, "a row has more than %d columns", (int)MBL_CSV_CELLS);
            mbl_error_at(err, NULL, csv->line, 0);
            return status;
        }
        if (csv->n < 2)
            continue;
        int repeats = 0;
        read_names(csv, out);
        found = find_column(out, wish, MBL_LOG_TIME, &repeats) >= 0 &&
                find_column(out, wish, MBL_LOG_SPEED, &repeats) >= 0;
    }
    if (!found) {
        *csv = start;
        found = find_by_shape(csv, out);
    }
    if (!found)
        return mbl_fail(err, MBL_INPUT,
                        "no header found: a log has a row of column names, time and speed among "
                        "them, above its rows of numbers");
    read_units(csv, out);
    return MBL_OK;
}

/* "no column "Sped"; did you mean "Speed"?" or the list of what there is. */
static mbl_status missing(const mbl_header *header, const char *wanted, mbl_log_role role,
                          mbl_error *err)
{
    const char *names[MBL_CSV_CELLS];
    char list[400] = "";
    size_t used = 0;
    for (size_t i = 0; i < header->columns; i++) {
        names[i] = header->column[i].name;
        size_t n = strlen(names[i]);
        if (n == 0 || used + n + 8 >= sizeof list)
            continue;
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", used > 0 ? ", " : "",
                                 names[i]);
    }
    mbl_status status = MBL_INPUT;
    const char *near = given(wanted) ? mbl_nearest(wanted, names, header->columns) : NULL;
    if (near != NULL)
        status = mbl_fail(err, MBL_INPUT, "no column \"%s\"; did you mean \"%s\"?", wanted, near);
    else if (given(wanted))
        status = mbl_fail(err, MBL_INPUT, "no column \"%s\"; the columns are: %s", wanted, list);
    else
        status = mbl_fail(err, MBL_INPUT,
                          "no %s column was recognised; name it with %s = \"...\". The columns "
                          "are: %s",
                          words[role], words[role], list);
    mbl_error_at(err, NULL, header->line, 0);
    return status;
}

static mbl_status take_unit(const mbl_header *header, const mbl_log_wish *wish, mbl_log_role role,
                            mbl_log_column *column, mbl_error *err)
{
    static const char *const assumed[MBL_LOG_ROLES] = {"s", NULL, "", "m", "m"};
    const char *unit = header->column[column->index].unit;
    if (given(wish->unit[role]))
        unit = wish->unit[role];
    double scale = 0;
    mbl_status status = MBL_OK;
    if (role == MBL_LOG_LAP)
        unit = "";
    else if (!given(unit) && assumed[role] == NULL)
        status = mbl_fail(err, MBL_INPUT,
                          "the file does not say the unit of \"%s\"; give it, as in speed_unit = "
                          "\"km/h\"",
                          column->name);
    else if (!given(unit)) {
        unit = assumed[role];
        column->unit_assumed = true;
    } else if (!mbl_header_scale(role, unit, &scale))
        status = mbl_fail(err, MBL_INPUT,
                          "\"%s\" is in \"%s\", which is not a known unit of %s; give it, as in "
                          "%s_unit = \"%s\"",
                          column->name, unit, words[role], words[role],
                          role == MBL_LOG_SPEED  ? "km/h"
                          : role == MBL_LOG_TIME ? "s"
                                                 : "m");
    snprintf(column->unit, sizeof column->unit, "%.15s", status == MBL_OK ? unit : "");
    if (status != MBL_OK)
        mbl_error_at(err, NULL, header->units_line > 0 ? header->units_line : header->line, 0);
    return status;
}

mbl_status mbl_header_take(const mbl_header *header, const mbl_log_wish *wish,
                           mbl_log_column column[MBL_LOG_ROLES], mbl_error *err)
{
    for (int r = 0; r < MBL_LOG_ROLES; r++) {
        mbl_log_role role = (mbl_log_role)r;
        mbl_log_column taken = {0};
        int index = find_column(header, wish, role, &taken.repeats);
        bool needed = role == MBL_LOG_TIME || role == MBL_LOG_SPEED || given(wish->column[role]);
        if (index < 0 && needed)
            return missing(header, wish->column[role], role, err);
        if (index >= 0) {
            taken.present = true;
            taken.guessed = !given(wish->column[role]);
            taken.index = index;
            memcpy(taken.name, header->column[index].name, sizeof taken.name);
            MBL_TRY(take_unit(header, wish, role, &taken, err));
        }
        column[role] = taken;
    }
    return MBL_OK;
}
