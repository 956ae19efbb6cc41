/* SPDX-License-Identifier: MIT */
/*
 * Sources of the factors. Prefixes, litre, minute, hour, bar, degree of arc and Celsius: BIPM, The
 * International System of Units (SI Brochure, 9th edition). Foot 0.3048 m, inch 0.0254 m, mile
 * 1609.344 m, pound 0.45359237 kg: international yard and pound agreement of 1959, exact. Nautical
 * mile 1852 m: international definition, exact. Standard gravity 9.80665 m/s2: 3rd CGPM 1901,
 * exact. Everything with lbf or hp follows from these: lbf = lb x g, psi = lbf / in2,
 * mechanical horsepower = 550 ft lbf / s. Fahrenheit: K = (F + 459.67) x 5/9, exact.
 */
#include "parts/units_table.h"

#include <string.h>

#define INCH  0.0254
#define FOOT  0.3048
#define MILE  1609.344
#define KNOT  1852.0 /* metres an hour */
#define POUND 0.45359237
#define G     9.80665
#define LBF   (POUND * G)
#define PI    3.141592653589793

/* In each quantity the SI unit is first; the rest in the order in which a slip is likely. */
const mbl_unit mbl_unit_table[] = {
    {MBL_Q_SHARE, "", 1, 1, 0},
    {MBL_Q_SHARE, "%", 1, 100, 0},
    {MBL_Q_LENGTH, "m", 1, 1, 0},
    {MBL_Q_LENGTH, "mm", 1, 1000, 0},
    {MBL_Q_LENGTH, "cm", 1, 100, 0},
    {MBL_Q_LENGTH, "km", 1000, 1, 0},
    {MBL_Q_LENGTH, "in", 254, 10000, 0},
    {MBL_Q_LENGTH, "ft", 3048, 10000, 0},
    {MBL_Q_LENGTH, "mi", MILE, 1, 0},
    {MBL_Q_AREA, "m2", 1, 1, 0},
    {MBL_Q_AREA, "cm2", 1, 1e4, 0},
    {MBL_Q_AREA, "mm2", 1, 1e6, 0},
    {MBL_Q_AREA, "in2", 6.4516, 1e4, 0},
    {MBL_Q_AREA, "ft2", 9.290304, 100, 0},
    {MBL_Q_VOLUME, "m3", 1, 1, 0},
    {MBL_Q_VOLUME, "l", 1, 1000, 0},
    {MBL_Q_VOLUME, "ml", 1, 1e6, 0},
    {MBL_Q_VOLUME, "cm3", 1, 1e6, 0},
    {MBL_Q_MASS, "kg", 1, 1, 0},
    {MBL_Q_MASS, "g", 1, 1000, 0},
    {MBL_Q_MASS, "lb", POUND, 1, 0},
    {MBL_Q_TIME, "s", 1, 1, 0},
    {MBL_Q_TIME, "ms", 1, 1000, 0},
    {MBL_Q_TIME, "min", 60, 1, 0},
    {MBL_Q_TIME, "h", 3600, 1, 0},
    {MBL_Q_TIME, "days", 86400, 1, 0},
    {MBL_Q_TIME, "months", 30 * 86400, 1, 0}, /* of 30 days, as uptake is counted */
    {MBL_Q_SPEED, "m/s", 1, 1, 0},
    {MBL_Q_SPEED, "km/h", 1000, 3600, 0},
    {MBL_Q_SPEED, "mph", MILE, 3600, 0},
    {MBL_Q_SPEED, "kn", KNOT, 3600, 0},
    {MBL_Q_ACCELERATION, "m/s2", 1, 1, 0},
    {MBL_Q_ACCELERATION, "g", G, 1, 0},
    {MBL_Q_FORCE, "N", 1, 1, 0},
    {MBL_Q_FORCE, "kN", 1000, 1, 0},
    {MBL_Q_FORCE, "lbf", LBF, 1, 0},
    {MBL_Q_PRESSURE, "Pa", 1, 1, 0},
    {MBL_Q_PRESSURE, "kPa", 1000, 1, 0},
    {MBL_Q_PRESSURE, "MPa", 1e6, 1, 0},
    {MBL_Q_PRESSURE, "bar", 1e5, 1, 0},
    {MBL_Q_PRESSURE, "psi", LBF, INCH *INCH, 0},
    {MBL_Q_POWER, "W", 1, 1, 0},
    {MBL_Q_POWER, "kW", 1000, 1, 0},
    {MBL_Q_POWER, "hp", 550 * FOOT *LBF, 1, 0},
    {MBL_Q_LEVEL, "C", 1, 1, 273.15},
    {MBL_Q_LEVEL, "F", 5, 9, 459.67},
    {MBL_Q_LEVEL, "K", 1, 1, 0},
    {MBL_Q_RISE, "K", 1, 1, 0},
    {MBL_Q_RISE, "C", 1, 1, 0},
    {MBL_Q_RISE, "F", 5, 9, 0},
    {MBL_Q_DENSITY, "kg/m3", 1, 1, 0},
    {MBL_Q_DENSITY, "g/cm3", 1000, 1, 0},
    {MBL_Q_DENSITY, "lb/in3", POUND, INCH *INCH *INCH, 0},
    {MBL_Q_CONDUCTIVITY, "W/mK", 1, 1, 0},
    {MBL_Q_SPECIFIC_HEAT, "J/kgK", 1, 1, 0},
    {MBL_Q_FILM, "W/m2K", 1, 1, 0},
    {MBL_Q_CONDUCTANCE, "W/K", 1, 1, 0},
    {MBL_Q_CAPACITY, "J/K", 1, 1, 0},
    {MBL_Q_CAPACITY, "kJ/K", 1000, 1, 0},
    {MBL_Q_ENERGY, "J", 1, 1, 0},
    {MBL_Q_ENERGY, "kJ", 1000, 1, 0},
    {MBL_Q_ENERGY, "MJ", 1e6, 1, 0},
    {MBL_Q_WEAR, "m3/J", 1, 1, 0},
    {MBL_Q_WEAR, "mm3/MJ", 1, 1e15, 0},
    {MBL_Q_MOLAR_ENERGY, "J/mol", 1, 1, 0},
    {MBL_Q_MOLAR_ENERGY, "kJ/mol", 1000, 1, 0},
    {MBL_Q_FORCE_RATE, "N/s", 1, 1, 0},
    {MBL_Q_FORCE_RATE, "kN/s", 1000, 1, 0},
    {MBL_Q_TURN_RATE, "rad/s", 1, 1, 0},
    {MBL_Q_TURN_RATE, "deg/s", PI, 180, 0},
    {MBL_Q_ANGLE, "deg", PI, 180, 0},
    {MBL_Q_ANGLE, "rad", 1, 1, 0},
    {MBL_Q_MONEY, "", 1, 1, 0},
    {MBL_Q_RATIO, "", 1, 1, 0},
};

const size_t mbl_unit_count = sizeof mbl_unit_table / sizeof mbl_unit_table[0];

double mbl_unit_apply(const mbl_unit *unit, double number)
{
    return (number + unit->shift) * unit->num / unit->den;
}

const mbl_unit *mbl_unit_find(mbl_quantity quantity, const char *name)
{
    for (size_t i = 0; i < mbl_unit_count; i++) {
        if (mbl_unit_table[i].quantity == quantity && strcmp(mbl_unit_table[i].name, name) == 0)
            return &mbl_unit_table[i];
    }
    return NULL;
}

typedef struct spelling {
    const char *from; /* UTF-8 */
    const char *to;
} spelling;

static const spelling SPELLINGS[] = {
    {"\xC2\xB2", "2"},     /* superscript two */
    {"\xC2\xB3", "3"},     /* superscript three */
    {"\xC2\xB0\x43", "C"}, /* degree sign, C */
    {"\xC2\xB0\x46", "F"}, /* degree sign, F */
    {"\xC2\xB0", "deg"},   /* degree sign of an angle */
    {"\xC2\xB7", ""},      /* middle dot, as in W/m.K */
    {"\xE2\x88\x92", "-"}, /* minus sign */
    {"\xC2\xA0", " "},     /* no-break space */
    {"\xE2\x80\xAF", " "}, /* narrow no-break space */
    {"\t", " "},
};

bool mbl_unit_clean(const char *text, char *out, size_t room)
{
    size_t o = 0;
    while (*text != '\0') {
        char plain[2] = {*text, '\0'};
        const char *to = plain;
        size_t taken = 1;
        for (size_t i = 0; i < sizeof SPELLINGS / sizeof SPELLINGS[0]; i++) {
            size_t n = strlen(SPELLINGS[i].from);
            if (strncmp(text, SPELLINGS[i].from, n) == 0) {
                to = SPELLINGS[i].to;
                taken = n;
                break;
            }
        }
        text += taken;
        /* blanks at the start are never written, those at the end are taken back below */
        if (to[0] == '\0' || (to[0] == ' ' && o == 0))
            continue;
        size_t n = strlen(to);
        if (o + n >= room)
            return false;
        memcpy(out + o, to, n);
        o += n;
    }
    while (o > 0 && out[o - 1] == ' ')
        o--;
    out[o] = '\0';
    return true;
}
