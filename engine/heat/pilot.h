/* SPDX-License-Identifier: MIT */
/*
 * A pilot: the quick part of a car's brakes, simple enough to be run ahead of it. Two chains from
 * core to friction material, with capacities, conductances and friction that do not change and no
 * way out for the heat. It is run over a lap's samples to see where steps may be long; no result is
 * read off it.
 *
 * Its constants are those of a model rounded to coarse steps, the model's kin: cars that differ by
 * less have the same pilot, and so the same steps, whatever they are run beside.
 */
#ifndef MBL_HEAT_PILOT_H
#define MBL_HEAT_PILOT_H

#include "heat/model.h"

enum {
    MBL_PILOT_NODES = MBL_STRIDE_CORNERS * MBL_PLACES,
    MBL_KIN_NUMBERS = MBL_STRIDE_CORNERS * (2 * MBL_PLACES - 2 + 7) + 2
};

/* Logarithms of the constants in whole steps; equal for cars that share a pilot. */
typedef struct mbl_kin {
    short v[MBL_KIN_NUMBERS];
} mbl_kin;

/* Of a model that strides (mbl_model_macro above 0). */
void mbl_kin_of(const mbl_model *model, mbl_kin *out);

/* Longest macro step of the kin, s: at most that of any of its models. */
double mbl_kin_macro(const mbl_kin *kin);

/* Highest share of itself that friction of a pad of the kin changes by in a kelvin, 1/K: at least
 * that of any of its models. */
double mbl_kin_steep(const mbl_kin *kin);

/*
 * Seconds in which the quickest pad's face of the kin follows what it rubs on, at a stop that asks
 * for `force` (N, whole car).
 */
double mbl_kin_quick(const mbl_kin *kin, double force);

/* Values of both corners side by side. */
typedef double mbl_pair __attribute__((vector_size(16)));

typedef struct mbl_pilot {
    double macro;           /* s */
    mbl_pair C[MBL_PLACES]; /* J/K */
    mbl_pair g[MBL_PLACES]; /* W/K along the chain; not at the contact */
    mbl_pair film_per_pascal, gap_film, rotor_layer, pad_layer, rotor_half, pad_half;
    mbl_pair share;                 /* of a car's braking power, one wheel */
    double per_force;               /* Pa of line pressure per N of braking force of the car */
    mbl_pair per_gamma_dt, contact; /* the factorisation at hand is for these */
    mbl_pair inverse[MBL_PLACES], factor[MBL_PLACES];
    double factored; /* dt */
} mbl_pilot;

/* Temperatures, K above where it started. */
typedef struct mbl_pilot_state {
    mbl_pair T[MBL_PLACES];
} mbl_pilot_state;

void mbl_pilot_make(const mbl_kin *kin, mbl_pilot *out);

/* One stride by the strides' own method; `power` (W, whole car) and its slope (W/s) as there. */
void mbl_pilot_step(mbl_pilot *pilot, double dt, double speed, double power, double slope,
                    const mbl_pilot_state *from, mbl_pilot_state *to);

#endif
