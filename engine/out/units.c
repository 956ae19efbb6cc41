/* SPDX-License-Identifier: MIT */
/*
 * Factors are exact: foot, inch, mile and pound by the international agreement of 1959, standard
 * gravity by the 3rd CGPM 1901, psi as pound-force per square inch from these. Each is written
 * as a division or a product of the definition, so that round values come out round.
 */
#include "out/units.h"

#include "out/figure.h"

#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#define INCH  0.0254
#define FOOT  0.3048
#define MILE  1609.344
#define POUND 0.45359237
#define G     9.80665

double mbl_out_convert(mbl_measure measure, mbl_units_system units, double si)
{
    bool us = units == MBL_UNITS_US;
    switch (measure) {
    case MBL_SHOW_LEVEL:
        return us ? si * 9 / 5 - 459.67 : si - 273.15;
    case MBL_SHOW_RISE:
        return us ? si * 9 / 5 : si;
    case MBL_SHOW_MASS:
        return us ? si / POUND : si;
    case MBL_SHOW_SPEED:
        return us ? si * 3600 / MILE : si * 3.6;
    case MBL_SHOW_HEIGHT:
        return us ? si / FOOT : si;
    case MBL_SHOW_SIZE:
        return us ? si / INCH : si * 1e3;
    case MBL_SHOW_AREA:
        return us ? si / (FOOT * FOOT) : si;
    case MBL_SHOW_SMALL_AREA:
        return us ? si / (INCH * INCH) : si * 1e4;
    case MBL_SHOW_VOLUME:
        return us ? si / (INCH * INCH * INCH) : si * 1e6;
    case MBL_SHOW_ACCELERATION:
        return us ? si / G : si;
    case MBL_SHOW_DECELERATION:
        return si / G;
    case MBL_SHOW_FORCE:
    case MBL_SHOW_FORCE_RATE:
        return us ? si / (POUND * G) : si;
    case MBL_SHOW_PRESSURE:
        return us ? si * (INCH * INCH) / (POUND * G) : si / 1e5;
    case MBL_SHOW_ENERGY:
        return si / 1e6;
    case MBL_SHOW_SPECIFIC_ENERGY:
    case MBL_SHOW_MOLAR_ENERGY:
    case MBL_SHOW_POWER:
        return si / 1e3;
    case MBL_SHOW_WEAR:
        return si * 1e15;
    case MBL_SHOW_TIME:
    case MBL_SHOW_PLAIN:
        return si;
    case MBL_SHOW_MINUTES:
        return si / 60;
    case MBL_SHOW_SHARE:
        return si * 100;
    }
    return si;
}

const char *mbl_out_unit(mbl_measure measure, mbl_units_system units)
{
    static const char *const names[][2] = {
#define NAMES(name, si, us) {si, us},
        MBL_MEASURE_LIST(NAMES)
#undef NAMES
    };
    return names[measure][units == MBL_UNITS_US];
}

mbl_shown mbl_out_fixed(double number, int decimals)
{
    mbl_shown out;
    int64_t scale = 1;
    for (int i = 0; i < decimals; i++)
        scale *= 10;
    double scaled = round(fabs(number) * (double)scale);
    if (!isfinite(number)) {
        snprintf(out.s, sizeof out.s, "-");
    } else if (scaled >= 9e15) {
        /* beyond what a double counts one by one: no decimals left to show */
        snprintf(out.s, sizeof out.s, "%.0e", number);
    } else {
        int64_t digits = (int64_t)scaled;
        const char *sign = number < 0 && digits > 0 ? "-" : "";
        if (decimals == 0)
            snprintf(out.s, sizeof out.s, "%s%" PRId64, sign, digits);
        else
            snprintf(out.s, sizeof out.s, "%s%" PRId64 ".%0*" PRId64, sign, digits / scale,
                     decimals, digits % scale);
    }
    return out;
}

mbl_shown mbl_out_show(mbl_measure measure, mbl_units_system units, double si, int decimals)
{
    return mbl_out_fixed(mbl_out_convert(measure, units, si), decimals);
}

mbl_shown mbl_out_margin(mbl_units_system units, double kelvin)
{
    return mbl_figure_margin((mbl_figure){MBL_SHOW_RISE, 0}, units, kelvin);
}

/* Four significant figures, without zeros that say nothing. */
static mbl_shown significant(double number)
{
    int decimals = 0;
    for (double edge = 1000; decimals < 9 && fabs(number) < edge && number != 0; edge /= 10)
        decimals++;
    mbl_shown out = mbl_out_fixed(number, decimals);
    if (strchr(out.s, '.') != NULL) {
        size_t n = strlen(out.s);
        while (out.s[n - 1] == '0')
            n--;
        if (out.s[n - 1] == '.')
            n--;
        out.s[n] = '\0';
    }
    return out;
}

/* What a quantity is shown in; false when it stays in SI. */
static bool measure_of(mbl_quantity quantity, double si, mbl_measure *measure)
{
    switch (quantity) {
    case MBL_Q_SHARE:
        *measure = MBL_SHOW_SHARE;
        return true;
    case MBL_Q_LENGTH:
        *measure = fabs(si) < 1 ? MBL_SHOW_SIZE : MBL_SHOW_HEIGHT;
        return true;
    case MBL_Q_AREA:
        *measure = fabs(si) < 0.05 ? MBL_SHOW_SMALL_AREA : MBL_SHOW_AREA;
        return true;
    case MBL_Q_MASS:
        *measure = MBL_SHOW_MASS;
        return true;
    case MBL_Q_TIME:
        *measure = MBL_SHOW_TIME;
        return true;
    case MBL_Q_SPEED:
        *measure = MBL_SHOW_SPEED;
        return true;
    case MBL_Q_ACCELERATION:
        *measure = MBL_SHOW_ACCELERATION;
        return true;
    case MBL_Q_PRESSURE:
        *measure = MBL_SHOW_PRESSURE;
        return true;
    case MBL_Q_POWER:
        *measure = MBL_SHOW_POWER;
        return true;
    case MBL_Q_LEVEL:
        *measure = MBL_SHOW_LEVEL;
        return true;
    case MBL_Q_RISE:
        *measure = MBL_SHOW_RISE;
        return true;
    case MBL_Q_VOLUME:
        *measure = MBL_SHOW_VOLUME;
        return true;
    case MBL_Q_FORCE:
        *measure = MBL_SHOW_FORCE;
        return true;
    case MBL_Q_FORCE_RATE:
        *measure = MBL_SHOW_FORCE_RATE;
        return true;
    case MBL_Q_WEAR:
        *measure = MBL_SHOW_WEAR;
        return true;
    case MBL_Q_MOLAR_ENERGY:
        *measure = MBL_SHOW_MOLAR_ENERGY;
        return true;
    case MBL_Q_COUNT:
    case MBL_Q_MONEY:
    case MBL_Q_RATIO:
    case MBL_Q_DENSITY:
    case MBL_Q_CONDUCTIVITY:
    case MBL_Q_SPECIFIC_HEAT:
    case MBL_Q_FILM:
    case MBL_Q_CONDUCTANCE:
    case MBL_Q_CAPACITY:
        break;
    }
    return false;
}

mbl_shown mbl_out_value(mbl_quantity quantity, mbl_units_system units, double si)
{
    mbl_measure measure;
    double number = si;
    const char *unit = mbl_quantity_si(quantity);
    if (measure_of(quantity, si, &measure)) {
        number = mbl_out_convert(measure, units, si);
        unit = mbl_out_unit(measure, units);
    }
    mbl_shown digits = significant(number);
    mbl_shown out;
    snprintf(out.s, sizeof out.s, "%.30s%s%.12s", digits.s, unit[0] != '\0' ? " " : "", unit);
    return out;
}

mbl_shown mbl_out_span(double seconds)
{
    mbl_shown out;
    double minutes = round(seconds / 60);
    if (!(fabs(seconds) < 1e9))
        snprintf(out.s, sizeof out.s, "-");
    else if (seconds < 89.5)
        snprintf(out.s, sizeof out.s, "%.0f s", seconds);
    else if (minutes < 120)
        snprintf(out.s, sizeof out.s, "%.0f min", minutes);
    else
        snprintf(out.s, sizeof out.s, "%d h %02d min", (int)(minutes / 60), (int)minutes % 60);
    return out;
}

mbl_shown mbl_out_lap_time(double seconds)
{
    mbl_shown out;
    if (!(seconds >= 0 && seconds < 1e7)) {
        snprintf(out.s, sizeof out.s, "-");
        return out;
    }
    long ms = lround(seconds * 1e3);
    snprintf(out.s, sizeof out.s, "%ld:%02ld.%03ld", ms / 60000, ms / 1000 % 60, ms % 1000);
    return out;
}
