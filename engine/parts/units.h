/* SPDX-License-Identifier: MIT */
/*
 * The way in for units, and the only place where one is converted inwards. Everything inside is
 * SI and kelvin. Outwards is out/units.
 */
#ifndef MBL_PARTS_UNITS_H
#define MBL_PARTS_UNITS_H

#include "base/base.h"

#include <stdbool.h>

/*
 * X(NAME, word for people, SI unit a bare number has).
 * A bare LEVEL is in degrees Celsius; a bare RISE is a difference in kelvin. A bare ANGLE is in
 * degrees, since nobody writes 1.5708 for a right angle; inside it is in radians.
 */
#define MBL_QUANTITY_LIST(X)                                                                       \
    X(SHARE, "share", "0..1")                                                                      \
    X(COUNT, "count", "")                                                                          \
    X(LENGTH, "length", "m")                                                                       \
    X(AREA, "area", "m2")                                                                          \
    X(VOLUME, "volume", "m3")                                                                      \
    X(MASS, "mass", "kg")                                                                          \
    X(TIME, "time", "s")                                                                           \
    X(SPEED, "speed", "m/s")                                                                       \
    X(ACCELERATION, "acceleration", "m/s2")                                                        \
    X(FORCE, "force", "N")                                                                         \
    X(PRESSURE, "pressure", "Pa")                                                                  \
    X(POWER, "power", "W")                                                                         \
    X(LEVEL, "temperature", "C")                                                                   \
    X(RISE, "temperature difference", "K")                                                         \
    X(DENSITY, "density", "kg/m3")                                                                 \
    X(CONDUCTIVITY, "conductivity", "W/mK")                                                        \
    X(SPECIFIC_HEAT, "specific heat", "J/kgK")                                                     \
    X(FILM, "heat transfer coefficient", "W/m2K")                                                  \
    X(CONDUCTANCE, "conductance", "W/K")                                                           \
    X(CAPACITY, "heat capacity", "J/K")                                                            \
    X(ENERGY, "energy", "J")                                                                       \
    X(WEAR, "wear", "m3/J")                                                                        \
    X(MOLAR_ENERGY, "molar energy", "J/mol")                                                       \
    X(FORCE_RATE, "rate of force", "N/s")                                                          \
    X(TURN_RATE, "rate of turn", "rad/s")                                                          \
    X(ANGLE, "angle", "deg")                                                                       \
    X(MONEY, "sum of money", "")                                                                   \
    X(RATIO, "number", "")

typedef enum mbl_quantity {
#define MBL_QUANTITY_ENUM(name, word, si) MBL_Q_##name,
    MBL_QUANTITY_LIST(MBL_QUANTITY_ENUM)
#undef MBL_QUANTITY_ENUM
} mbl_quantity;

const char *mbl_quantity_word(mbl_quantity quantity); /* "length" */
const char *mbl_quantity_si(mbl_quantity quantity);   /* "m"; "C" for a level */

/* A value as a script writes it, for messages and docs: "350 mm" with the quotes, or 0.3. */
const char *mbl_quantity_example(mbl_quantity quantity);

/*
 * Reads text such as "350 mm", "3/4 in", "1 3/4 in", "-5 C", "3 %", "10 min" into SI (kelvin for
 * a level). Text without a unit is read as a bare number would be. On failure says what was
 * wrong, which units the quantity takes and the nearest known one.
 */
MBL_NODISCARD mbl_status mbl_units_read(mbl_quantity quantity, const char *text, double *si,
                                        mbl_error *err);

/* A bare number as SI: the identity, but for a level and an angle. */
double mbl_units_bare(mbl_quantity quantity, double number);

/*
 * SI to the unit a bare number would have (Celsius for a level), for messages: writes
 * "0.35 m", "-5 C" or "0.03" into out[48].
 */
void mbl_units_show(mbl_quantity quantity, double si, char out[48]);

/*
 * When a bare number is outside [lo, hi] but would be inside with another unit, writes the value
 * with that unit ("355 mm") into out[48] and returns true: the likely slip.
 */
bool mbl_units_slip(mbl_quantity quantity, double number, double lo, double hi, char out[48]);

/* The same for text: keeps its digits and looks for another unit than the one it has. */
bool mbl_units_slip_text(mbl_quantity quantity, const char *text, double lo, double hi,
                         char out[48]);

/* Finds a unit by its spelling for a column of a log: value_si = value * scale + offset. */
bool mbl_units_find(mbl_quantity quantity, const char *unit, double *scale, double *offset);

#endif
