/* SPDX-License-Identifier: MIT */
/*
 * The names that results have, with unit and sentence: what scripts are refused and allowed by,
 * and what editors and docs/scripting.md are written from. Private to `host`.
 */
#ifndef MBL_HOST_RESULT_NAMES_H
#define MBL_HOST_RESULT_NAMES_H

#include "host/context.h"

typedef enum mbl_result_need {
    MBL_ALWAYS,    /* there from the start */
    MBL_SOMETIMES, /* nil where there is nothing to tell */
    MBL_ASKED      /* made when it is first asked for */
} mbl_result_need;

/* Type of a name that is a method: its row is in mbl_bindings. */
#define MBL_METHOD "method"

typedef struct mbl_result_name {
    const char *name;
    /*
     * As Lua editors write it: number, integer, boolean, string, words in quotes with bars
     * between, or a table: emberlap.CLASS, a list emberlap.CLASS[], table<string, ...>.
     */
    const char *type;
    mbl_result_need need;
    const char *unit;  /* "C"; "" when it has none */
    const char *about; /* a few words */
} mbl_result_name;

typedef struct mbl_result_class {
    const char *name;                    /* "fluid_result": emberlap.fluid_result in editors */
    const char *where;                   /* "run.front.fluid" */
    const struct mbl_result_class *base; /* whose names it has too; NULL: none */
    const char *about;                   /* one sentence */
    const mbl_result_name *names;
    size_t n;
} mbl_result_class;

extern const mbl_result_class mbl_class_run, mbl_class_axle, mbl_class_corner, mbl_class_rotor,
    mbl_class_peak, mbl_class_pad, mbl_class_fluid, mbl_class_lap, mbl_class_lap_axle,
    mbl_class_check, mbl_class_more, mbl_class_pedal, mbl_class_axles, mbl_class_balance,
    mbl_class_mass, mbl_class_cost, mbl_class_against, mbl_class_plan, mbl_class_worst,
    mbl_class_node, mbl_class_cooling, mbl_class_stop, mbl_class_stop_pressure,
    mbl_class_car_balance, mbl_class_held, mbl_class_own_lap;

/* All of them, NULL at the end. */
extern const mbl_result_class *const mbl_result_classes[];

/* The row of a name, in the class or its base; NULL when it has none. */
const mbl_result_name *mbl_result_row(const mbl_result_class *of, const char *name);

#endif
