/* SPDX-License-Identifier: MIT */
/* el.network: heat capacities, links and heat of a script's own. Private to `host`. */
#ifndef MBL_HOST_NETWORK_H
#define MBL_HOST_NETWORK_H

#include "host/context.h"

/* Most nodes of a network. */
enum { MBL_NET_NODES = 500 };

/* Heat into one node. A function is kept in the user value of the object, at its number. */
typedef struct mbl_net_heat {
    int node;
    bool function;
    size_t n;      /* points; 1: constant */
    double *t, *w; /* (n) s not falling, W */
} mbl_net_heat;

/* The userdata; everything in it is released with it. */
typedef struct mbl_net {
    const mbl_alloc *alloc;
    mbl_network build;
    mbl_model *model;
    double ambient; /* K */
    size_t nnodes;
    double *start; /* (nnodes) K */
    size_t nheats;
    mbl_net_heat *heat; /* (nnodes) room for one each */
} mbl_net;

extern const char mbl_net_tag;

/* What a node, a link and, but for those and for heat, a network takes; options of simulate. */
extern const mbl_schema mbl_net_node_schema, mbl_net_link_schema, mbl_net_schema;
extern const mbl_schema mbl_simulate_schema;

/* Number of a node, or a failure that names the nearest. Raises nothing. */
MBL_NODISCARD mbl_status mbl_net_node(const mbl_net *net, const char *name, int *node,
                                      mbl_error *err);

/* Adds the heat table on top of the stack. Raises nothing. */
MBL_NODISCARD mbl_status mbl_net_heats(lua_State *L, mbl_net *net, mbl_error *err);

int mbl_net_call(lua_State *L);     /* el.network */
int mbl_net_simulate(lua_State *L); /* net:simulate */
void mbl_net_open(lua_State *L);    /* makes the types; may raise */
void mbl_net_simulate_open(lua_State *L);

#endif
