/* SPDX-License-Identifier: MIT */
/* The heat of a network: watts, points over time, or a function. */
#include "host/network.h"

#include "host/tree.h"

#include <string.h>

static mbl_status no_memory(mbl_error *err)
{
    return mbl_fail(err, MBL_MEMORY, "out of memory building a network");
}

mbl_status mbl_net_node(const mbl_net *net, const char *name, int *node, mbl_error *err)
{
    const char *meant = NULL;
    size_t best = strlen(name) / 3 + 2;
    for (size_t i = 0; i < net->nnodes; i++) {
        const char *have = net->build.node[i].name;
        size_t off = mbl_distance(name, have);
        if (off == 0) {
            *node = (int)i;
            return MBL_OK;
        }
        if (off < best) {
            best = off;
            meant = have;
        }
    }
    return mbl_fail(err, MBL_INPUT, "the network has no node \"%.60s\"%s%s%s", name,
                    meant != NULL ? "; did you mean \"" : "", meant != NULL ? meant : "",
                    meant != NULL ? "\"?" : "");
}

static mbl_status read_value(const mbl_node *raw, mbl_quantity quantity, double *si, mbl_error *err)
{
    if (raw->kind == MBL_NODE_TEXT)
        return mbl_units_read(quantity, raw->text, si, err);
    if (raw->kind != MBL_NODE_NUMBER)
        return mbl_fail(err, MBL_INPUT, "expected a %s such as %s", mbl_quantity_word(quantity),
                        mbl_quantity_example(quantity));
    *si = mbl_units_bare(quantity, raw->number);
    return MBL_OK;
}

static mbl_status read_point(const mbl_node *raw, mbl_net_heat *heat, size_t i, mbl_error *err)
{
    if (raw->kind != MBL_NODE_LIST || raw->count != 2)
        return mbl_fail(err, MBL_INPUT, "expected a pair { time, power }");
    MBL_TRY(read_value(raw->items[0], MBL_Q_TIME, &heat->t[i], err));
    MBL_TRY(read_value(raw->items[1], MBL_Q_POWER, &heat->w[i], err));
    if (i > 0 && heat->t[i] < heat->t[i - 1])
        return mbl_fail(err, MBL_INPUT, "times must not fall");
    return MBL_OK;
}

static mbl_status read_heat(mbl_net *net, mbl_net_heat *heat, const mbl_node *raw, mbl_error *err)
{
    bool list = raw->kind == MBL_NODE_LIST;
    size_t n = list ? raw->count : 1;
    if (raw->kind == MBL_NODE_MAP)
        return mbl_fail(err, MBL_INPUT,
                        "expected watts, a list { { t, watts }, ... } or a function of time");
    heat->t = mbl_new(net->alloc, n, sizeof *heat->t);
    heat->w = mbl_new(net->alloc, n, sizeof *heat->w);
    if (heat->t == NULL || heat->w == NULL) {
        mbl_free(net->alloc, heat->t, n, sizeof *heat->t);
        mbl_free(net->alloc, heat->w, n, sizeof *heat->w);
        *heat = (mbl_net_heat){0};
        return no_memory(err);
    }
    heat->n = n;
    if (!list)
        return read_value(raw, MBL_Q_POWER, &heat->w[0], err);
    for (size_t i = 0; i < n; i++) {
        mbl_status status = read_point(raw->items[i], heat, i, err);
        if (status != MBL_OK) {
            char at[24];
            snprintf(at, sizeof at, "[%zu]", i + 1);
            mbl_error_under(err, at);
            return status;
        }
    }
    return MBL_OK;
}

/* The value on top, for the node whose name is below it. Raises nothing. */
static mbl_status add_heat(lua_State *L, mbl_net *net, const char *name, mbl_error *err)
{
    int node = 0;
    MBL_TRY(mbl_net_node(net, name, &node, err));
    mbl_net_heat *heat = &net->heat[net->nheats++];
    *heat = (mbl_net_heat){.node = node, .function = lua_isfunction(L, -1)};
    (void)mbl_network_source(&net->build, node);
    if (net->build.failed)
        return no_memory(err);
    if (heat->function)
        return MBL_OK;
    mbl_node *raw = NULL;
    MBL_TRY(mbl_tree_read(L, -1, &raw, err));
    mbl_status status = read_heat(net, heat, raw, err);
    mbl_node_drop(raw);
    return status;
}

mbl_status mbl_net_heats(lua_State *L, mbl_net *net, mbl_error *err)
{
    if (lua_isnil(L, -1))
        return MBL_OK;
    if (!lua_istable(L, -1))
        return mbl_fail(err, MBL_INPUT, "expected a table of heat by node: { disc = 1000 }");
    for (lua_pushnil(L); lua_next(L, -2); lua_pop(L, 1)) {
        if (lua_type(L, -2) != LUA_TSTRING)
            return mbl_fail(err, MBL_INPUT, "expected names of nodes, as in { disc = 1000 }");
        mbl_status status = add_heat(L, net, lua_tostring(L, -2), err);
        if (status != MBL_OK) {
            mbl_error_under(err, lua_rawlen(L, -2) < 64 ? lua_tostring(L, -2) : "?");
            return status;
        }
    }
    return MBL_OK;
}
