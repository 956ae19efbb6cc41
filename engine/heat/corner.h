/* SPDX-License-Identifier: MIT */
/*
 * A car's brakes as a network: one corner per axle (left and right are the same), fourteen heat
 * capacities each. Where every conductance comes from is in corner.c and docs/model.md.
 */
#ifndef MBL_HEAT_CORNER_H
#define MBL_HEAT_CORNER_H

#include "heat/block.h"
#include "heat/cooling.h"
#include "heat/film_store.h"
#include "heat/model.h"
#include "heat/ring.h"

/*
 * X(NAME, key in names and files, what it is). Node i of axle a (0 front, 1 rear) is
 * a * MBL_CORNER_NODES + i, and is called "front.rotor.face" and so on.
 */
#define MBL_CORNER_LIST(X)                                                                         \
    X(FACE, "rotor.face", "rubbing skin of both faces")                                            \
    X(LAYER1, "rotor.layer1", "cheeks beneath the skin")                                           \
    X(LAYER2, "rotor.layer2", "cheeks, deeper")                                                    \
    X(LAYER3, "rotor.layer3", "cheeks, innermost, with the rim")                                   \
    X(CORE, "rotor.core", "vanes, or the middle of a solid ring")                                  \
    X(HAT, "rotor.hat", "hat")                                                                     \
    X(HUB, "hub", "hub and what is bolted to it")                                                  \
    X(PAD_FACE, "pad.face", "rubbing layer of both pads")                                          \
    X(PAD_BODY1, "pad.body1", "friction material, outer part")                                     \
    X(PAD_BODY2, "pad.body2", "friction material, inner part")                                     \
    X(PLATE, "pad.plate", "backing plates")                                                        \
    X(PISTON, "piston", "pistons")                                                                 \
    X(FLUID, "fluid", "fluid in the bores")                                                        \
    X(CALIPER, "caliper", "body of the caliper")

typedef enum mbl_corner_node {
#define MBL_CORNER_ENUM(name, key, about) MBL_##name,
    MBL_CORNER_LIST(MBL_CORNER_ENUM)
#undef MBL_CORNER_ENUM
        MBL_CORNER_NODES
} mbl_corner_node;

enum { MBL_AXLES = 2 };

const char *mbl_axle_word(int axle);              /* "front", "rear" */
const char *mbl_corner_key(mbl_corner_node node); /* "rotor.face" */
static inline int mbl_corner_index(int axle, mbl_corner_node node)
{
    return axle * MBL_CORNER_NODES + (int)node;
}

/* The node of a place in the chain of a corner: see stride_map.h. */
static inline int mbl_stride_node(int corner, int place)
{
    static const mbl_corner_node node[MBL_PLACES] = {MBL_CORE,      MBL_LAYER3,    MBL_LAYER2,
                                                     MBL_LAYER1,    MBL_FACE,      MBL_PAD_FACE,
                                                     MBL_PAD_BODY1, MBL_PAD_BODY2, MBL_PLATE};
    return mbl_corner_index(corner, node[place]);
}

/*
 * Builds the network of both axles in air at `ambient` (K) and pressure `p` (Pa). Film laws are
 * taken from `films` and kept there; NULL for no store. Nodes of the user's own come after those
 * of both axles, front first. Fails with MBL_INPUT and the path of a link whose end is no node.
 */
MBL_NODISCARD mbl_status mbl_corner_build(mbl_network *net, const mbl_car *car, double ambient,
                                          double p, mbl_film_store *films, mbl_error *err);

/* Thickness of friction material that is left of a corner's pads in a lane, m; at least
 * MBL_PAD_LEAST unless there was less to begin with, as what follows when the plates rub is not
 * modelled. */
#define MBL_PAD_LEAST 1e-3
double mbl_corner_pad_left(const mbl_block *block, int lane, int axle, const mbl_pad *pad);

/*
 * Gives the pads of a lane the thickness they are worn to: thinner pads store less and conduct
 * more. Between steps only, as at the end of a lap. `pad` is that of the lane's car.
 */
void mbl_corner_wear(mbl_block *block, int lane, int axle, const mbl_pad *pad);

#endif
