/* SPDX-License-Identifier: MIT */
#include "road/clock.h"

#include "road/names.h"
#include "road/select.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define DAY      86400.0
#define HALF_DAY 43200.0

/* Stamps since 1970 are told by their size: from 1998 to beyond the year 5000. */
#define UNIX_FROM    9e8
#define UNIX_MS_FROM 9e11
#define UNIX_MS_TO   1e14

/* Apart by so much, whole numbers without a unit are milliseconds. */
#define MS_LEAST 5.0
#define MS_MOST  1000.0

/* What is left of a stamp. */
typedef struct rest {
    const char *at;
    const char *end;
} rest;

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Exactly `count` digits. */
static bool take_digits(rest *r, int count, int *value)
{
    *value = 0;
    for (int i = 0; i < count; i++) {
        if (r->at >= r->end || !is_digit(*r->at))
            return false;
        *value = *value * 10 + (*r->at++ - '0');
    }
    return true;
}

static bool take_char(rest *r, const char *any)
{
    if (r->at >= r->end || *r->at == '\0' || strchr(any, *r->at) == NULL)
        return false;
    r->at++;
    return true;
}

/* One to nine digits. */
static bool take_whole(rest *r, double *value)
{
    int n = 0;
    for (*value = 0; r->at < r->end && is_digit(*r->at) && n < 9; n++)
        *value = *value * 10 + (*r->at++ - '0');
    return n > 0;
}

/* Two digits of seconds and their fraction, behind either mark; 60 is a leap second. */
static bool take_seconds(rest *r, int fewest, double *value)
{
    double whole = 0;
    const char *from = r->at;
    if (!take_whole(r, &whole) || r->at - from > 2 || r->at - from < fewest)
        return false;
    *value = whole;
    if (take_char(r, ".,")) {
        /* up to 15 figures are exact over a power of ten */
        double figures = 0;
        double tens = 1;
        for (; r->at < r->end && is_digit(*r->at); r->at++)
            if (tens < 1e15) {
                figures = figures * 10 + (*r->at - '0');
                tens *= 10;
            }
        *value = (whole * tens + figures) / tens;
    }
    return *value < 61;
}

/* h:m:s or m:s */
static bool read_hms(mbl_csv_cell cell, double *seconds)
{
    rest r = {cell.text, cell.text + cell.n};
    bool minus = take_char(&r, "-");
    double first = 0;
    double second = 0;
    if (!take_whole(&r, &first) || !take_char(&r, ":"))
        return false;
    const char *from = r.at;
    double total = 0;
    if (take_whole(&r, &second) && take_char(&r, ":")) {
        if (second > 59 || !take_seconds(&r, 1, &total))
            return false;
        total += 3600 * first + 60 * second;
    } else {
        r.at = from;
        if (!take_seconds(&r, 1, &total))
            return false;
        total += 60 * first;
    }
    *seconds = minus ? -total : total;
    return r.at == r.end;
}

/*
 * Days from 1970-01-01 in the Gregorian calendar. Years are counted from March, so that the leap
 * day comes last, and months by 153 days to every five.
 */
static long days_from_1970(int year, int month, int day)
{
    long y = month > 2 ? year : year - 1;
    long m = month > 2 ? month - 3 : month + 9;
    return 365 * y + y / 4 - y / 100 + y / 400 + (153 * m + 2) / 5 + day - 1 - 719468;
}

/* Z, +02:00, +0200, +02 or nothing, as seconds east. */
static bool take_zone(rest *r, double *east)
{
    int hours = 0;
    int minutes = 0;
    *east = 0;
    take_char(r, " ");
    if (r->at == r->end || take_char(r, "Zz"))
        return true;
    bool west = *r->at == '-';
    if (!take_char(r, "+-") || !take_digits(r, 2, &hours))
        return false;
    bool colon = take_char(r, ":");
    if ((colon || r->at < r->end) && !take_digits(r, 2, &minutes))
        return false;
    *east = (west ? -1 : 1) * (3600.0 * hours + 60.0 * minutes);
    return hours <= 14 && minutes <= 59;
}

/*
 * ISO 8601: 2031-05-04T12:30:01.5+02:00; also with slashes, a blank for the T, without seconds,
 * and in the basic form 20310504T123001.
 */
static bool read_date(mbl_csv_cell cell, long *day, double *seconds)
{
    rest r = {cell.text, cell.text + cell.n};
    int year = 0;
    int month = 0;
    int date = 0;
    int hour = 0;
    int minute = 0;
    double second = 0;
    double east = 0;
    if (!take_digits(&r, 4, &year))
        return false;
    bool parted = take_char(&r, "-/");
    if (!take_digits(&r, 2, &month) || (parted && !take_char(&r, "-/")) ||
        !take_digits(&r, 2, &date) || !take_char(&r, "Tt ") || !take_digits(&r, 2, &hour))
        return false;
    bool colon = take_char(&r, ":");
    if (!take_digits(&r, 2, &minute))
        return false;
    bool more = r.at < r.end && (colon ? *r.at == ':' : is_digit(*r.at));
    if (more && colon)
        r.at++;
    if (more && !take_seconds(&r, 2, &second))
        return false;
    if (!take_zone(&r, &east) || r.at != r.end || month < 1 || month > 12 || date < 1 ||
        date > 31 || hour > 24 || minute > 59)
        return false;
    *day = days_from_1970(year, month, date);
    *seconds = 3600.0 * hour + 60.0 * minute + second - east;
    return true;
}

/* hhmmss.ss */
static bool read_compact(double number, double *seconds)
{
    double hours = floor(number / 10000);
    double minutes = floor((number - 10000 * hours) / 100);
    double left = number - 10000 * hours - 100 * minutes;
    if (!(number >= 0) || hours > 23 || minutes > 59 || left >= 61)
        return false;
    *seconds = 3600 * hours + 60 * minutes + left;
    return true;
}

bool mbl_clock_is_stamp(mbl_csv_cell cell)
{
    long day = 0;
    double seconds = 0;
    /* most cells are neither: the shortest stamps are 0:00 and 20310504T1230 */
    if (cell.n < 4 || cell.n > 40)
        return false;
    return (memchr(cell.text, ':', cell.n) != NULL && read_hms(cell, &seconds)) ||
           (cell.n >= 13 && read_date(cell, &day, &seconds));
}

/* What the stamps of a sample look like. */
typedef struct looks {
    size_t dates, clocks, numbers;
    size_t whole;        /* numbers without a fraction */
    size_t times_of_day; /* numbers that are hhmmss, with six digits before the mark */
    size_t as_hhmmss;    /* numbers that can be hhmmss */
    bool leading_zero;   /* one of six digits begins with 0 */
    bool full_minute;    /* one goes on from ..59.9 to ..00 */
    double middle;       /* median; 0 when there is no number */
    double apart;        /* median of what they rise by; 0 when nothing rises */
    size_t rises;
} looks;

static size_t digits_before_mark(mbl_csv_cell cell)
{
    size_t n = 0;
    while (n < cell.n && is_digit(cell.text[n]))
        n++;
    return n;
}

static void look_at_number(looks *l, mbl_csv_cell cell, double number, double before)
{
    double seconds = 0;
    bool valid = read_compact(number, &seconds);
    bool six = digits_before_mark(cell) == 6;
    l->whole += number == floor(number);
    l->as_hhmmss += valid;
    l->times_of_day += valid && six;
    l->leading_zero = l->leading_zero || (six && cell.text[0] == '0');
    l->full_minute = l->full_minute || (l->numbers > 0 && number - before >= 40 &&
                                        fmod(number, 100) < 10 && fmod(before, 100) >= 50);
    l->numbers++;
}

static void look(const mbl_csv_cell *cell, size_t n, char decimal, looks *l)
{
    double numbers[MBL_CLOCK_SAMPLE];
    double rises[MBL_CLOCK_SAMPLE];
    *l = (looks){0};
    for (size_t i = 0; i < n && i < MBL_CLOCK_SAMPLE; i++) {
        long day = 0;
        double value = 0;
        if (mbl_csv_number(cell[i], decimal, &value)) {
            double before = l->numbers > 0 ? numbers[l->numbers - 1] : value;
            if (value > before)
                rises[l->rises++] = value - before;
            numbers[l->numbers] = value;
            look_at_number(l, cell[i], value, before);
        } else if (read_date(cell[i], &day, &value))
            l->dates++;
        else if (read_hms(cell[i], &value))
            l->clocks++;
    }
    l->middle = l->numbers > 0 ? mbl_median(numbers, l->numbers) : 0;
    l->apart = l->rises > 0 ? mbl_median(rises, l->rises) : 0;
}

/* Does the name or the unit say that it is a time of day written in one piece? */
static bool says_of_day(const mbl_log_column *column)
{
    static const char *const words[] = {"utc",   "utctime",   "timeutc", "timeofday",
                                        "clock", "clocktime", "hhmmss",  "gpsutc"};
    for (size_t i = 0; i < sizeof words / sizeof words[0]; i++)
        if (mbl_names_spell(column->name, words[i]) || mbl_names_spell(column->unit, words[i]))
            return true;
    /* hhmmss.ss, hhmmss.sss */
    return mbl_names_spell(column->unit, "hhmmssss") || mbl_names_spell(column->unit, "hhmmsssss");
}

static void set(mbl_clock *clock, mbl_log_clock kind, double scale)
{
    clock->kind = kind;
    clock->scale = scale;
}

/* Sets what plain numbers without a usable unit are; returns the unit to show for it. */
static const char *choose_by_size(mbl_clock *clock, const looks *l, bool of_day,
                                  const mbl_log_column *column)
{
    if (l->middle >= UNIX_MS_FROM && l->middle < UNIX_MS_TO) {
        set(clock, MBL_CLOCK_UNIX_MS, 1e-3);
        return "ms";
    }
    if (l->middle >= UNIX_FROM && l->middle < UNIX_MS_FROM) {
        set(clock, MBL_CLOCK_UNIX, 1);
        return "s";
    }
    bool all_of_day = l->numbers > 0 && l->times_of_day == l->numbers &&
                      (l->leading_zero || l->full_minute || says_of_day(column));
    if (all_of_day || (of_day && 2 * l->as_hhmmss > l->numbers)) {
        set(clock, MBL_CLOCK_COMPACT, 1);
        return "";
    }
    if (l->whole == l->numbers && l->apart >= MS_LEAST && l->apart <= MS_MOST) {
        set(clock, MBL_CLOCK_MILLISECONDS, 1e-3);
        return "ms";
    }
    set(clock, MBL_CLOCK_SECONDS, 1);
    return "s";
}

/* Plain numbers with a known unit: a second is one of a day, of a drive, or since 1970. */
static void choose_by_unit(mbl_clock *clock, const looks *l, double scale, bool wished)
{
    bool ms = scale == 1e-3;
    set(clock, ms ? MBL_CLOCK_MILLISECONDS : MBL_CLOCK_SECONDS, scale);
    double seconds = l->middle * scale;
    if ((ms || scale == 1) && seconds >= UNIX_FROM && seconds < UNIX_MS_FROM)
        clock->kind = ms ? MBL_CLOCK_UNIX_MS : MBL_CLOCK_UNIX;
    else if (!wished && scale == 1 && l->middle >= UNIX_MS_FROM && l->middle < UNIX_MS_TO)
        /* no second since 1970 has 13 digits: the file says s and writes ms */
        set(clock, MBL_CLOCK_UNIX_MS, 1e-3);
}

mbl_status mbl_clock_choose(mbl_clock *clock, const mbl_csv_cell *cell, size_t n, char decimal,
                            bool wished, bool of_day, mbl_log_column *column, mbl_error *err)
{
    looks l;
    look(cell, n, decimal, &l);
    *clock = (mbl_clock){.decimal = decimal, .scale = 1};
    if (l.dates > l.clocks + l.numbers) {
        clock->kind = MBL_CLOCK_DATE;
        return MBL_OK;
    }
    if (l.clocks > 0) {
        clock->kind = MBL_CLOCK_HMS;
        return MBL_OK;
    }
    double scale = 0;
    bool given = column->unit[0] != '\0';
    if (given && mbl_names_scale(MBL_LOG_TIME, column->unit, &scale)) {
        choose_by_unit(clock, &l, scale, wished);
        return MBL_OK;
    }
    /* "unix time", "utc" and "hhmmss" stand where a unit should, and the stamps bear them out */
    const char *unit = choose_by_size(clock, &l, of_day, column);
    bool borne_out = clock->kind != MBL_CLOCK_SECONDS && clock->kind != MBL_CLOCK_MILLISECONDS;
    if (given && !borne_out && l.numbers > 0)
        return mbl_fail(err, MBL_INPUT,
                        "\"%s\" is in \"%s\", which is not a known unit of time; give it, as in "
                        "time_unit = \"s\"",
                        column->name, column->unit);
    if (!given && clock->kind != MBL_CLOCK_COMPACT) {
        column->unit_assumed = true;
        snprintf(column->unit, sizeof column->unit, "%s", unit);
    }
    return MBL_OK;
}

/* The stamp as it stands. */
static bool read_raw(mbl_clock *clock, mbl_csv_cell cell, double *seconds)
{
    double number = 0;
    if (clock->kind == MBL_CLOCK_DATE) {
        long day = 0;
        if (!read_date(cell, &day, seconds))
            return false;
        if (!clock->started)
            clock->day = day;
        *seconds += DAY * (double)(day - clock->day);
        return true;
    }
    if (mbl_csv_number(cell, clock->decimal, &number)) {
        *seconds = number * clock->scale;
        return clock->kind != MBL_CLOCK_COMPACT || read_compact(number, seconds);
    }
    /* the first minute of a clock of m:s may be written without its 0: */
    if ((clock->kind == MBL_CLOCK_SECONDS && clock->scale == 1) || clock->kind == MBL_CLOCK_HMS) {
        if (!read_hms(cell, seconds))
            return false;
        clock->kind = MBL_CLOCK_HMS;
        return true;
    }
    return false;
}

/*
 * Did a clock of the day begin again? A fall of more than half a day is no rows in disorder, and
 * a clock that begins again at a lap has not run for half a day. Plain seconds may be of the day
 * too: they are when they fall from the last minute of one to the first.
 */
static bool past_midnight(const mbl_clock *clock, double now)
{
    if (!clock->started || clock->kind == MBL_CLOCK_DATE || clock->kind == MBL_CLOCK_UNIX ||
        clock->kind == MBL_CLOCK_UNIX_MS)
        return false;
    if (clock->kind == MBL_CLOCK_HMS || clock->kind == MBL_CLOCK_COMPACT)
        return clock->last - now > HALF_DAY;
    return clock->last > DAY - 60 && clock->last <= DAY && now >= 0 && now < 60;
}

bool mbl_clock_read(mbl_clock *clock, mbl_csv_cell cell, double *seconds, bool *midnight)
{
    double now = 0;
    *midnight = false;
    if (!read_raw(clock, cell, &now))
        return false;
    if (past_midnight(clock, now)) {
        *midnight = true;
        clock->carried++;
    } else if (clock->carried > 0 && now - clock->last > HALF_DAY)
        clock->carried--; /* a row in disorder, of the day before */
    clock->last = now;
    clock->started = true;
    *seconds = now + DAY * clock->carried;
    return true;
}
