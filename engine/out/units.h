/* SPDX-License-Identifier: MIT */
/*
 * The way out for units. Everything inside is SI and kelvin; this turns it into what people read.
 * Inwards is parts/units. Numbers are written here without the C library's locale.
 */
#ifndef MBL_OUT_UNITS_H
#define MBL_OUT_UNITS_H

#include "parts/units.h"

typedef enum mbl_units_system { MBL_UNITS_SI, MBL_UNITS_US } mbl_units_system;

/*
 * X(NAME, unit in SI, unit in US). Energy and power keep their metric units in both: brake energy
 * is spoken of in megajoules either way. DECELERATION is that of a stop, which is spoken of in g;
 * PLAIN is for counts and money.
 */
#define MBL_MEASURE_LIST(X)                                                                        \
    X(LEVEL, "C", "F")                                                                             \
    X(RISE, "K", "F")                                                                              \
    X(MASS, "kg", "lb")                                                                            \
    X(SPEED, "km/h", "mph")                                                                        \
    X(HEIGHT, "m", "ft")                                                                           \
    X(SIZE, "mm", "in")                                                                            \
    X(AREA, "m2", "ft2")                                                                           \
    X(SMALL_AREA, "cm2", "in2")                                                                    \
    X(VOLUME, "cm3", "in3")                                                                        \
    X(ACCELERATION, "m/s2", "g")                                                                   \
    X(DECELERATION, "g", "g")                                                                      \
    X(FORCE, "N", "lbf")                                                                           \
    X(FORCE_RATE, "N/s", "lbf/s")                                                                  \
    X(PRESSURE, "bar", "psi")                                                                      \
    X(ENERGY, "MJ", "MJ")                                                                          \
    X(SPECIFIC_ENERGY, "kJ/kg", "kJ/kg")                                                           \
    X(MOLAR_ENERGY, "kJ/mol", "kJ/mol")                                                            \
    X(POWER, "kW", "kW")                                                                           \
    X(WEAR, "mm3/MJ", "mm3/MJ")                                                                    \
    X(TIME, "s", "s")                                                                              \
    X(MINUTES, "min", "min")                                                                       \
    X(SHARE, "%", "%")                                                                             \
    X(ANGLE, "deg", "deg")                                                                         \
    X(PLAIN, "", "")

typedef enum mbl_measure {
#define MBL_MEASURE_ENUM(name, si, us) MBL_SHOW_##name,
    MBL_MEASURE_LIST(MBL_MEASURE_ENUM)
#undef MBL_MEASURE_ENUM
} mbl_measure;

/* An SI value (kelvin, shares 0..1) in people's unit. */
double mbl_out_convert(mbl_measure measure, mbl_units_system units, double si);
const char *mbl_out_unit(mbl_measure measure, mbl_units_system units); /* "km/h" */

/* A short text by value, to be used within the expression that makes it. */
typedef struct mbl_shown {
    char s[48];
} mbl_shown;

/*
 * A number with 0 to 9 decimals, a point whatever the locale, never "-0"; "-" when not finite.
 * Halves round away from zero.
 */
mbl_shown mbl_out_fixed(double number, int decimals);

/* An SI value in people's unit with `decimals`, without the unit. */
mbl_shown mbl_out_show(mbl_measure measure, mbl_units_system units, double si, int decimals);

/*
 * A margin in whole degrees; a tenth where that would read as nothing, rounded down, so that a
 * limit that is passed never shows as one that is kept.
 */
mbl_shown mbl_out_margin(mbl_units_system units, double kelvin);

/* A value of an input with its unit, four significant figures: "46 W/mK", "1.5 %", "328 mm". */
mbl_shown mbl_out_value(mbl_quantity quantity, mbl_units_system units, double si);

/*
 * The same to three figures and with its unit apart, for values that are guesses and for ranges;
 * `like` chooses the unit, so that both ends of a range have the same.
 */
typedef struct mbl_rough {
    mbl_shown number;
    const char *unit;
} mbl_rough;
mbl_rough mbl_out_rough(mbl_quantity quantity, mbl_units_system units, double like, double si);

mbl_shown mbl_out_span(double seconds);     /* "40 s", "6 min", "2 h 05 min" */
mbl_shown mbl_out_lap_time(double seconds); /* "1:39.204" */

#endif
