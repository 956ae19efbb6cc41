/* SPDX-License-Identifier: MIT */
/*
 * A block of lanes: the mutable half of a simulation. Lane w is one stint; all lanes of a block
 * share the shape of their models and the channels that drive them, and differ in values only.
 * Lanes never look at each other, so a lane's result does not depend on its neighbours.
 *
 * Every field is an array [count][lanes], lane innermost.
 */
#ifndef MBL_HEAT_BLOCK_H
#define MBL_HEAT_BLOCK_H

#include "heat/model.h"

/* Lanes a block can have; the kernels are compiled once for each. Sixteen are for screening. */
enum {
    MBL_LANES_ONE = 1,
    MBL_LANES_FOUR = 4,
    MBL_LANES_EIGHT = 8,
    MBL_LANES_SIXTEEN = 16,
    MBL_LANES_MOST = MBL_LANES_SIXTEEN
};

/* The width that is fastest a lane on this processor; when screening. */
int mbl_lanes_best(void);
int mbl_lanes_best_single(void);

/*
 * X(field, count, unit, who writes it, what it is). This list makes the struct, sizes the buffer
 * and places the pointers.
 *   state:  carries the stint from one step to the next
 *   model:  copied from the lane's model when the block is made
 *   totals: sums since the block was started
 *   stage:  scratch of one step
 */
#define MBL_BLOCK_FIELDS(X)                                                                        \
    X(H, nodes, "J", state, "enthalpy above 0 K (constant capacity) or 0 C (iron)")                \
    X(T, nodes, "K", state, "temperature")                                                         \
    X(pressure, one, "Pa", state, "mean line pressure of the last step")                           \
    X(strain, contacts, "K", state, "widest the face stood above the core in this application")    \
    X(cycles, contacts, "1", totals, "applications in which the skin flowed")                      \
    X(crack, contacts, "1", totals, "their weights: see mbl_crack_weight")                         \
    X(worn, contacts, "m3", totals, "friction material worn off one wheel's pads")                 \
    X(work, contacts, "J", totals, "friction work of one wheel's pads")                            \
    X(shortfall, one, "J", totals, "braking that the cap on pressure left undone, whole car")      \
    X(heat, one, "J", totals, "heat put in")                                                       \
    X(lost, paths, "J", totals, "heat lost to the air, by path")                                   \
    X(H_start, one, "J", totals, "enthalpy of all nodes when the block was started")               \
    X(into, one, "s", state, "since the macro step of the strides began")                          \
    X(macro, one, "s", state, "length of that macro step")                                         \
    X(film0, links, "W/K", state, "film conductance as the macro step begins")                     \
    X(film1, links, "W/K", state, "the same as it ends")                                           \
    X(film_T, nodes, "K", state, "of it as the macro step begins, for which its films are")        \
    X(slope_T, links, "W/K2", state, "how film1 changes over temperature")                         \
    X(through, links, "J", state, "heat from a chain to a slow node in this macro step")           \
    X(rate, nodes, "K/s", state, "of slow nodes in the last macro step")                           \
    X(bend, nodes, "1/K", state, "half of dC/dT over C, as the strides have it")                   \
    X(capacity, nodes, "J/K", state, "heat capacity as the strides have it")                       \
    X(per_capacity, nodes, "K/J", state, "1 over that, nearly")                                    \
    X(aired, nodes, "K s", state, "above the air, over this macro step")                           \
    X(aired_late, nodes, "K s", state, "the same times the share of it that is over")              \
    X(seeped, nodes, "K s", state, "what the matrix lets out aside, over this macro step")         \
    X(ambient, one, "K", model, "air temperature")                                                 \
    X(scale, nodes, "kg or J/K", model, "capacity scale of a node")                                \
    X(value, links, "by kind", model, "W/K, m2 or W/K4")                                           \
    X(gain, contacts, "N/Pa", model, "braking force per line pressure and friction, one axle")     \
    X(share, contacts, "1", model, "pressure of its own over that of the system, below the knee")  \
    X(slope, contacts, "1", model, "the same above the knee, over share")                          \
    X(knee, one, "Pa", model, "line pressure from which slopes count")                             \
    X(cap, one, "Pa", model, "highest line pressure there is")                                     \
    X(film_per_pascal, contacts, "W/m2K/Pa", model, "contact layer per line pressure")             \
    X(gap_film, contacts, "W/m2K", model, "contact layer when released")                           \
    X(rotor_layer, contacts, "m2", model, "area x (1 + k_rotor/k_pad)")                            \
    X(pad_layer, contacts, "m2", model, "area x (1 + k_pad/k_rotor)")                              \
    X(rotor_half, contacts, "K/W", model, "half of the rotor's skin")                              \
    X(pad_half, contacts, "K/W", model, "half of the pad's face layer")                            \
    X(C, nodes, "J/K", stage, "heat capacity at the start of the step")                            \
    X(T2, nodes, "K", stage, "temperature at the second stage")                                    \
    X(q1, nodes, "W", stage, "net heat flow into a node, first stage")                             \
    X(q2, nodes, "W", stage, "the same, second stage")                                             \
    X(x1, nodes, "K/s", stage, "slope of temperature, first stage")                                \
    X(x2, nodes, "K/s", stage, "slope of temperature, second stage")                               \
    X(g, links, "W/K", stage, "conductance of a link")                                             \
    X(g1, links, "W/K", stage, "the same at the first stage, as the matrix has it")                \
    X(leak, links, "W", stage, "heat flow of a link to the air")                                   \
    X(mu, contacts, "1", stage, "friction")                                                        \
    X(held, contacts, "1", stage, "pressure of its own over that of the system")                   \
    X(rubbed, contacts, "W", stage, "friction heat of one wheel")                                  \
    X(undone, one, "W", stage, "braking power that the cap leaves undone, whole car")              \
    X(matrix, slots, "J/K", stage, "capacity + gamma dt conductance, being eliminated")            \
    X(factor, entries, "1", stage, "multipliers of the elimination")                               \
    X(inverse, nodes, "K/J", stage, "1 / pivot")

/* The counts that the list names. */
typedef struct mbl_counts {
    size_t one, nodes, links, contacts, paths, slots, entries;
} mbl_counts;

mbl_counts mbl_counts_of(const mbl_model *model);

typedef struct mbl_block {
    const mbl_alloc *alloc;
    size_t bytes;
    int lanes; /* the least of the widths that holds them */
    int used;  /* lanes that were asked for; the rest are copies of the last */
    mbl_model *model[MBL_LANES_MOST];      /* one reference each */
    const mbl_table2 *law[MBL_LANES_MOST]; /* film laws of each lane */
    const mbl_contact *contact[MBL_LANES_MOST];
    bool pressure_matters; /* friction of some contact of some lane depends on pressure */
    bool speed_matters;    /* or on speed */
    bool plain;            /* no lane has an effect of pressure, a valve or a cap */
    void *buffer;
#define MBL_BLOCK_POINTER(field, count, unit, owner, about) double *field;
    MBL_BLOCK_FIELDS(MBL_BLOCK_POINTER)
#undef MBL_BLOCK_POINTER
    struct mbl_single *single; /* what the strides go by when screening; NULL else */
} mbl_block;

/*
 * A block for `used` (1 to MBL_LANES_EIGHT) models of one shape. All lanes start at their ambient.
 * Takes a reference to each model. Free with mbl_block_free.
 */
MBL_NODISCARD mbl_status mbl_block_make(const mbl_alloc *alloc, mbl_model *const models[], int used,
                                        mbl_block **out, mbl_error *err);

/*
 * The same for screening, of 1 to MBL_LANES_SIXTEEN models: its strides go by single precision,
 * which rounds off some 1e-4 K a step and takes little more than half the time.
 */
MBL_NODISCARD mbl_status mbl_block_make_single(const mbl_alloc *alloc, mbl_model *const models[],
                                               int used, mbl_block **out, mbl_error *err);
void mbl_block_free(mbl_block *block);

/* Sets every node of every lane to T (K) and clears the totals. */
void mbl_block_start(mbl_block *block, double T);

/* Sets one node of one lane; the totals of the lane then count from here. */
void mbl_block_set(mbl_block *block, int lane, int node, double T);

/*
 * Changes the capacity scale of a node between steps: material comes or goes at the node's
 * temperature. Its heat is counted as lost under `path`, so that the ledger stays closed.
 */
void mbl_block_rescale(mbl_block *block, int lane, int node, double scale, int path);

/*
 * One lane's temperatures and totals, and back, for trying what comes after without losing
 * where one was. `state` holds mbl_block_state_size(block) doubles.
 */
size_t mbl_block_state_size(const mbl_block *block);
void mbl_block_save(const mbl_block *block, int lane, double *state);
void mbl_block_load(mbl_block *block, int lane, const double *state);

/* What drives a block; step k lies between time[k] and time[k + 1]. */
typedef struct mbl_inputs {
    const double *time;   /* s */
    const double *speed;  /* m/s at the ends of the steps; NULL for still */
    const double *power;  /* W at the tyres of the whole car, mean of each step; NULL for none */
    const double *source; /* (sources x stride) W, mean of each step; NULL for none */
    size_t stride;
} mbl_inputs;

/*
 * What to look out for. Peaks are the highest temperatures at the ends of steps since the record
 * was cleared. A watch notes when a node first passes its level, and for how long it is above.
 */
typedef struct mbl_watch {
    int node;
    bool some;                    /* a lane was above as the last step ended */
    double T[MBL_LANES_MOST];     /* K then */
    double level[MBL_LANES_MOST]; /* K */
    double first[MBL_LANES_MOST]; /* s, NAN while it has not */
    double above[MBL_LANES_MOST]; /* s, straight through each step */
} mbl_watch;

/* The widest a temperature stands above another: thermal strain. */
typedef struct mbl_span {
    int hot, cold;               /* nodes */
    double peak[MBL_LANES_MOST]; /* K, highest difference */
    double at[MBL_LANES_MOST];   /* s */
} mbl_span;

/* The application that asked for the highest line pressure. */
typedef struct mbl_hardest {
    double pressure[MBL_LANES_MOST]; /* Pa; 0 when the brakes were not used */
    double at[MBL_LANES_MOST];       /* s */
    double speed[MBL_LANES_MOST];    /* m/s */
    double force[MBL_LANES_MOST];    /* N, of all brakes */
    double mu[2][MBL_LANES_MOST];    /* of the first two contacts */
} mbl_hardest;

typedef struct mbl_record {
    double offset;   /* s added to the inputs' time */
    double *peak;    /* (nodes x lanes) K */
    double *peak_at; /* (nodes x lanes) s */
    int nwatches;
    mbl_watch *watch;
    int nspans;
    mbl_span *span;
    mbl_hardest *hardest; /* may be NULL */
} mbl_record;

/* Highest line pressure when nothing caps it, Pa. */
#define MBL_NO_CAP 1e12

/* Lowers peaks and spans to the present temperatures at `now`, clears watches and the hardest
 * application. */
void mbl_record_clear(const mbl_block *block, mbl_record *record, double now);

/*
 * Runs steps [first, last) of the inputs. Two-stage linearly implicit method of order 2,
 * L-stable, conservative (docs/model.md, time stepping). record may be NULL.
 */
void mbl_block_run(mbl_block *block, const mbl_inputs *in, size_t first, size_t last,
                   mbl_record *record);

/* All temperatures finite? */
bool mbl_block_finite(const mbl_block *block);

/* Heat stored in a lane since it was started, J. */
double mbl_block_stored(const mbl_block *block, int lane);

/* (heat in - stored - lost) / heat in of a lane; 0 when no heat went in. */
double mbl_block_residual(const mbl_block *block, int lane);

/*
 * Net heat flow into every node (W) of lane 0 at the present temperatures, for checking against
 * an independent right-hand side. power and source as in mbl_inputs, at one instant.
 */
void mbl_block_flows(mbl_block *block, double speed, double power, const double *source,
                     double *flows);

#endif
