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
#define PI    3.14159265358979323846

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
    case MBL_SHOW_ANGLE:
        return si * 180 / PI;
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

/* As many significant figures, without zeros that say nothing. */
static mbl_shown significant(double number, int figures)
{
    int decimals = 0;
    for (double edge = pow(10, figures - 1); decimals < 9 && fabs(number) < edge && number != 0;
         edge /= 10)
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

/* What a quantity is shown in; what is not here stays in SI. */
static const struct {
    bool known;
    mbl_measure measure, small; /* the second for values below `below` */
    double below;
} told_in[] = {
    [MBL_Q_SHARE] = {true, MBL_SHOW_SHARE, 0, 0},
    [MBL_Q_LENGTH] = {true, MBL_SHOW_HEIGHT, MBL_SHOW_SIZE, 1},
    [MBL_Q_AREA] = {true, MBL_SHOW_AREA, MBL_SHOW_SMALL_AREA, 0.05},
    [MBL_Q_MASS] = {true, MBL_SHOW_MASS, 0, 0},
    [MBL_Q_TIME] = {true, MBL_SHOW_TIME, 0, 0},
    [MBL_Q_SPEED] = {true, MBL_SHOW_SPEED, 0, 0},
    [MBL_Q_ACCELERATION] = {true, MBL_SHOW_ACCELERATION, 0, 0},
    [MBL_Q_PRESSURE] = {true, MBL_SHOW_PRESSURE, 0, 0},
    [MBL_Q_POWER] = {true, MBL_SHOW_POWER, 0, 0},
    [MBL_Q_ENERGY] = {true, MBL_SHOW_ENERGY, 0, 0},
    [MBL_Q_LEVEL] = {true, MBL_SHOW_LEVEL, 0, 0},
    [MBL_Q_RISE] = {true, MBL_SHOW_RISE, 0, 0},
    [MBL_Q_VOLUME] = {true, MBL_SHOW_VOLUME, 0, 0},
    [MBL_Q_FORCE] = {true, MBL_SHOW_FORCE, 0, 0},
    [MBL_Q_FORCE_RATE] = {true, MBL_SHOW_FORCE_RATE, 0, 0},
    [MBL_Q_WEAR] = {true, MBL_SHOW_WEAR, 0, 0},
    [MBL_Q_MOLAR_ENERGY] = {true, MBL_SHOW_MOLAR_ENERGY, 0, 0},
    [MBL_Q_ANGLE] = {true, MBL_SHOW_ANGLE, 0, 0},
};

static bool measure_of(mbl_quantity quantity, double si, mbl_measure *measure)
{
    size_t q = (size_t)quantity;
    if (q >= sizeof told_in / sizeof told_in[0] || !told_in[q].known)
        return false;
    *measure = fabs(si) < told_in[q].below ? told_in[q].small : told_in[q].measure;
    return true;
}

static mbl_rough tell(mbl_quantity quantity, mbl_units_system units, double like, double si,
                      int figures)
{
    mbl_measure measure;
    if (!measure_of(quantity, like, &measure))
        return (mbl_rough){significant(si, figures), mbl_quantity_si(quantity)};
    return (mbl_rough){significant(mbl_out_convert(measure, units, si), figures),
                       mbl_out_unit(measure, units)};
}

mbl_shown mbl_out_value(mbl_quantity quantity, mbl_units_system units, double si)
{
    mbl_rough r = tell(quantity, units, si, si, 4);
    mbl_shown out;
    snprintf(out.s, sizeof out.s, "%.30s%s%.12s", r.number.s, r.unit[0] != '\0' ? " " : "", r.unit);
    return out;
}

mbl_rough mbl_out_rough(mbl_quantity quantity, mbl_units_system units, double like, double si)
{
    return tell(quantity, units, like, si, 3);
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
