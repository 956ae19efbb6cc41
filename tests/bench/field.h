/* SPDX-License-Identifier: MIT */
/*
 * The right-hand side of a car's brakes, dT/dt = q(T) / C(T), written for general-purpose solvers
 * to run on: the laws of a compiled model, laid out flat and in the order of a corner's nodes, for
 * one lane, four or eight. Holds no pointer, so that it may be written to a file.
 *
 * Only plain cars: friction without an effect of pressure, no valve, no cap, pads that keep their
 * thickness.
 */
#ifndef MBL_BENCH_FIELD_H
#define MBL_BENCH_FIELD_H

#include "heat/heat.h"

enum {
    BENCH_FOUR = 4,
    BENCH_MOST = 8, /* lanes */
    BENCH_CORNERS = 2,
    BENCH_OF_CORNERS = BENCH_CORNERS * MBL_CORNER_NODES, /* nodes; those of the user's own follow */
    BENCH_NODES = 44,
    BENCH_FILMS = 32,
    BENCH_LAWS = 12,
    BENCH_OWN = 64,
    BENCH_IRON = 1610, /* specific heat from 193.15 K on, by 1 K */
    BENCH_FILM_SAMPLES = MBL_FILM_SPEEDS * MBL_FILM_LEVELS
};

/* From which on specific heat of iron is sampled, K: its knots are whole degrees Celsius. */
#define BENCH_IRON_0 193.15

/* X(NAME, from, to): conduction within a corner. */
#define BENCH_LINKS(X)                                                                             \
    X(FACE_LAYER1, MBL_FACE, MBL_LAYER1)                                                           \
    X(LAYER1_LAYER2, MBL_LAYER1, MBL_LAYER2)                                                       \
    X(LAYER2_LAYER3, MBL_LAYER2, MBL_LAYER3)                                                       \
    X(LAYER3_CORE, MBL_LAYER3, MBL_CORE)                                                           \
    X(PAD_BODY1, MBL_PAD_FACE, MBL_PAD_BODY1)                                                      \
    X(BODY1_BODY2, MBL_PAD_BODY1, MBL_PAD_BODY2)                                                   \
    X(LAYER3_HAT, MBL_LAYER3, MBL_HAT)                                                             \
    X(BODY2_PLATE, MBL_PAD_BODY2, MBL_PLATE)                                                       \
    X(HAT_HUB, MBL_HAT, MBL_HUB)                                                                   \
    X(PLATE_PISTON, MBL_PLATE, MBL_PISTON)                                                         \
    X(PLATE_CALIPER, MBL_PLATE, MBL_CALIPER)                                                       \
    X(PISTON_FLUID, MBL_PISTON, MBL_FLUID)                                                         \
    X(PISTON_CALIPER, MBL_PISTON, MBL_CALIPER)                                                     \
    X(FLUID_CALIPER, MBL_FLUID, MBL_CALIPER)

typedef enum bench_link {
#define BENCH_LINK_ENUM(name, from, to) BENCH_##name,
    BENCH_LINKS(BENCH_LINK_ENUM)
#undef BENCH_LINK_ENUM
        BENCH_CORNER_LINKS
} bench_link;

/* Every array of doubles is [count][lanes], lane innermost, unless it says [lane] first. */
typedef struct bench_field {
    double air[BENCH_MOST], air4[BENCH_MOST];                              /* K, K4 */
    double g[BENCH_CORNERS * BENCH_CORNER_LINKS * BENCH_MOST];             /* W/K */
    double to_caliper[BENCH_CORNERS * BENCH_MOST];                         /* W/K4, rubbed face */
    double to_pad[BENCH_CORNERS * BENCH_MOST];                             /* W/K4, rubbed face */
    double radiation[BENCH_NODES * BENCH_MOST];                            /* W/K4, to the air */
    double scale[BENCH_NODES * BENCH_MOST], per[BENCH_NODES * BENCH_MOST]; /* J/K or kg, and 1/ */
    double gain[BENCH_CORNERS * BENCH_MOST];       /* N per Pa of system pressure and friction */
    double gap[BENCH_CORNERS * BENCH_MOST];        /* W/m2K */
    double per_pascal[BENCH_CORNERS * BENCH_MOST]; /* W/m2K per Pa of system pressure */
    double rotor_layer[BENCH_CORNERS * BENCH_MOST], pad_layer[BENCH_CORNERS * BENCH_MOST]; /* m2 */
    double rotor_half[BENCH_CORNERS * BENCH_MOST], pad_half[BENCH_CORNERS * BENCH_MOST];   /* K/W */
    double idle[BENCH_CORNERS * BENCH_MOST]; /* W/K, between the faces when released */
    double own_g[BENCH_OWN * BENCH_MOST];    /* W/K */
    double area[BENCH_FILMS * BENCH_MOST];   /* m2 */
    double mu[BENCH_CORNERS][BENCH_MOST][MBL_FRICTION_KNOTS];
    double mu_speed[BENCH_CORNERS][BENCH_MOST][MBL_FRICTION_SPEEDS];
    double law[BENCH_LAWS][BENCH_MOST][BENCH_FILM_SAMPLES];
    double iron[BENCH_IRON]; /* J/kgK */
    int lanes, nnodes, nfilms, nown;
    int film_node[BENCH_FILMS], film_law[BENCH_FILMS];
    int own_from[BENCH_OWN], own_to[BENCH_OWN]; /* to: MBL_AMBIENT for the air */
    int speed_matters;                          /* to friction, in some lane */
    int hat_iron[BENCH_CORNERS];
    int nslow, slow[BENCH_NODES + 1]; /* nodes of no chain of rotor and pad */
} bench_field;

/* Is a node of the chain from the rotor's core to the inside of the pad? */
static inline bool bench_is_quick(int node)
{
    int of = node % MBL_CORNER_NODES;
    return node < BENCH_OF_CORNERS &&
           (of <= MBL_CORE || (of >= MBL_PAD_FACE && of <= MBL_PAD_BODY2));
}

/*
 * Flattens 1, 4 or 8 models of one shape. NULL when all is well, else what of a model there is no
 * place for, a string constant.
 */
const char *bench_field_make(const mbl_model *const models[], int lanes, bench_field *out);

/*
 * Exact at one instant: flows (W) and rates (K/s) of all nodes at temperatures T, [nodes][lanes].
 * Speed in m/s; power in W at the tyres of the whole car.
 */
typedef void bench_rate(const bench_field *f, double speed, double power, const double *T,
                        double *out);
bench_rate bench_flows_1, bench_flows_4, bench_flows_4_avx2, bench_flows_8_avx512;
bench_rate bench_rates_1, bench_rates_4, bench_rates_4_avx2, bench_rates_8_avx512;

/*
 * d(dT/dt)/dT of one lane, [column][row] of nnodes, into an array of zeros. Leaves out how friction
 * and with it the contact moves with the pad's temperature: for Newton's method, not for checks
 * while braking.
 */
void bench_jacobian(const bench_field *f, double speed, double power, const double *T, double *J);

#endif
