/* SPDX-License-Identifier: MIT */
#include "host/network.h"

#include "host/tree.h"

#include <math.h>
#include <string.h>

const char mbl_net_tag;

/* ---- what a node and a link are ---- */

typedef struct node_input {
    double capacity, start;
} node_input;

typedef struct link_input {
    char from[MBL_TEXT_FIELD], to[MBL_TEXT_FIELD];
    double conductance;
} link_input;

typedef struct net_input {
    double ambient;
} net_input;

static const mbl_field node_fields[] = {
    {.key = "capacity",
     .kind = MBL_FIELD_NUMBER,
     .need = MBL_REQUIRED,
     .offset = offsetof(node_input, capacity),
     .quantity = MBL_Q_CAPACITY,
     .lo = 1e-6,
     .hi = 1e12,
     .about = "heat capacity",
     .source = ""},
    {.key = "start",
     .kind = MBL_FIELD_NUMBER,
     .need = MBL_INFERRED,
     .offset = offsetof(node_input, start),
     .quantity = MBL_Q_LEVEL,
     .lo = 1,
     .hi = 5000,
     .about = "temperature at the start; ambient when not given",
     .source = ""},
};
static const mbl_field link_fields[] = {
    {.key = "from",
     .kind = MBL_FIELD_TEXT,
     .need = MBL_REQUIRED,
     .offset = offsetof(link_input, from),
     .about = "a node, or ambient",
     .source = ""},
    {.key = "to",
     .kind = MBL_FIELD_TEXT,
     .need = MBL_REQUIRED,
     .offset = offsetof(link_input, to),
     .about = "a node, or ambient",
     .source = ""},
    {.key = "conductance",
     .kind = MBL_FIELD_NUMBER,
     .need = MBL_REQUIRED,
     .offset = offsetof(link_input, conductance),
     .quantity = MBL_Q_CONDUCTANCE,
     .lo = 1e-9,
     .hi = 1e9,
     .about = "heat flow per difference in temperature",
     .source = ""},
};
static const mbl_field net_fields[] = {
    {.key = "ambient",
     .kind = MBL_FIELD_NUMBER,
     .need = MBL_DEFAULT,
     .offset = offsetof(net_input, ambient),
     .quantity = MBL_Q_LEVEL,
     .lo = 1,
     .hi = 5000,
     .fallback = 298.15,
     .about = "air temperature",
     .source = "common practice, no source"},
};

const mbl_schema mbl_net_node_schema = {.name = "node",
                                        .about = "A heat capacity.",
                                        .size = sizeof(node_input),
                                        .fields = node_fields,
                                        .nfields = 2,
                                        .present = -1};
const mbl_schema mbl_net_link_schema = {.name = "link",
                                        .about = "A way for heat.",
                                        .size = sizeof(link_input),
                                        .fields = link_fields,
                                        .nfields = 3,
                                        .present = -1};
const mbl_schema mbl_net_schema = {.name = "network",
                                   .about = "A network.",
                                   .size = sizeof(net_input),
                                   .fields = net_fields,
                                   .nfields = 1,
                                   .present = -1};

/* Binds and extracts; the path is relative to the node, without the schema's name. */
static mbl_status fill(const mbl_schema *schema, const mbl_node *raw, void *out, mbl_error *err)
{
    mbl_node *bound = NULL;
    mbl_status status = mbl_bind(schema, raw, &bound, err);
    if (status == MBL_OK)
        mbl_extract(schema, bound, out);
    mbl_node_drop(bound);
    size_t n = strlen(schema->name);
    if (strncmp(err->path, schema->name, n) == 0 && err->path[n] == '.')
        memmove(err->path, err->path + n + 1, strlen(err->path + n + 1) + 1);
    else if (strcmp(err->path, schema->name) == 0)
        err->path[0] = '\0';
    return status;
}

static mbl_status no_memory(mbl_error *err)
{
    return mbl_fail(err, MBL_MEMORY, "out of memory building a network");
}

/* ---- nodes and links ---- */

static mbl_status add_node(mbl_net *net, const char *name, const mbl_node *raw, mbl_error *err)
{
    node_input in;
    size_t size = strlen(name);
    if (strcmp(name, "ambient") == 0)
        return mbl_fail(err, MBL_INPUT, "ambient is the air and cannot be a node");
    if (size == 0 || size >= MBL_NAME_MAX)
        return mbl_fail(err, MBL_INPUT, "the name of a node has 1 to %d bytes", MBL_NAME_MAX - 1);
    MBL_TRY(fill(&mbl_net_node_schema, raw, &in, err));
    net->start[net->nnodes++] = isnan(in.start) ? net->ambient : in.start;
    (void)mbl_network_node(&net->build, name, in.capacity);
    return net->build.failed ? no_memory(err) : MBL_OK;
}

static mbl_status add_nodes(mbl_net *net, const mbl_node *nodes, mbl_error *err)
{
    if (nodes == NULL || nodes->kind != MBL_NODE_MAP || nodes->bound != NULL ||
        nodes->positional != NULL || nodes->count == 0)
        return mbl_fail(err, MBL_INPUT,
                        "expected a table of nodes by name: { disc = { capacity = 4000 } }");
    if (nodes->count > MBL_NET_NODES)
        return mbl_fail(err, MBL_INPUT, "%zu nodes; the most that are taken is %d", nodes->count,
                        MBL_NET_NODES);
    size_t n = nodes->count;
    net->start = mbl_new(net->alloc, MBL_NET_NODES, sizeof *net->start);
    net->heat = mbl_new(net->alloc, MBL_NET_NODES, sizeof *net->heat);
    if (net->start == NULL || net->heat == NULL)
        return no_memory(err);
    for (size_t i = 0; i < n; i++) {
        mbl_status status = add_node(net, nodes->keys[i], nodes->items[i], err);
        if (status != MBL_OK) {
            mbl_error_under(err, nodes->keys[i]);
            return status;
        }
    }
    return MBL_OK;
}

static mbl_status add_link(mbl_net *net, const mbl_node *raw, mbl_error *err)
{
    link_input in;
    MBL_TRY(fill(&mbl_net_link_schema, raw, &in, err));
    const char *names[2] = {in.from, in.to};
    int ends[2];
    for (int i = 0; i < 2; i++) {
        ends[i] = MBL_AMBIENT;
        mbl_status status = MBL_OK;
        if (strcmp(names[i], "ambient") != 0)
            status = mbl_net_node(net, names[i], &ends[i], err);
        if (status != MBL_OK) {
            mbl_error_under(err, i == 0 ? "from" : "to");
            return status;
        }
    }
    if (ends[0] == ends[1])
        return mbl_fail(err, MBL_INPUT, "both ends of a link are \"%.60s\"", in.from);
    if (ends[0] != MBL_AMBIENT && ends[1] != MBL_AMBIENT)
        mbl_network_link(&net->build, ends[0], ends[1], in.conductance);
    else
        mbl_network_lose(&net->build, ends[0] != MBL_AMBIENT ? ends[0] : ends[1], in.conductance,
                         mbl_network_path(&net->build, "ambient"));
    return net->build.failed ? no_memory(err) : MBL_OK;
}

static mbl_status add_links(mbl_net *net, const mbl_node *links, mbl_error *err)
{
    if (links == NULL || (links->kind == MBL_NODE_MAP && links->count == 0))
        return MBL_OK;
    if (links->kind != MBL_NODE_LIST)
        return mbl_fail(err, MBL_INPUT,
                        "expected a list of links: { { from =, to =, conductance = } }");
    for (size_t i = 0; i < links->count; i++) {
        mbl_status status = add_link(net, links->items[i], err);
        if (status != MBL_OK) {
            char at[24];
            snprintf(at, sizeof at, "[%zu]", i + 1);
            mbl_error_under(err, at);
            return status;
        }
    }
    return MBL_OK;
}

/* ---- the whole ---- */

typedef mbl_status (*adder)(mbl_net *net, const mbl_node *part, mbl_error *err);

/* Reads key `name` of the table at 1 as a tree and adds it. */
static mbl_status add_part(lua_State *L, mbl_net *net, const char *name, adder add, mbl_error *err)
{
    mbl_node *raw = NULL;
    mbl_status status = MBL_OK;
    if (!lua_isnil(L, -1))
        status = mbl_tree_read(L, -1, &raw, err);
    if (status == MBL_OK)
        status = add(net, raw, err);
    mbl_node_drop(raw);
    if (status != MBL_OK)
        mbl_error_under(err, name);
    return status;
}

static mbl_status add_ambient(mbl_net *net, const mbl_node *raw, mbl_error *err)
{
    net_input in = {net_fields[0].fallback};
    mbl_node *map = raw == NULL ? NULL : mbl_node_map(net->alloc);
    if (raw != NULL &&
        (map == NULL || !mbl_node_put(map, "ambient", mbl_node_keep((mbl_node *)raw)))) {
        mbl_node_drop(map);
        return no_memory(err);
    }
    mbl_status status = map == NULL ? MBL_OK : fill(&mbl_net_schema, map, &in, err);
    mbl_node_drop(map);
    err->path[0] = '\0';
    net->ambient = in.ambient;
    return status;
}

/* Stack: 1 the table, 3 ambient, 4 nodes, 5 links, 6 heat. Raises nothing. */
static mbl_status build(lua_State *L, mbl_net *net, mbl_error *err)
{
    lua_pushvalue(L, 3);
    MBL_TRY(add_part(L, net, "ambient", add_ambient, err));
    lua_pushvalue(L, 4);
    MBL_TRY(add_part(L, net, "nodes", add_nodes, err));
    lua_pushvalue(L, 5);
    MBL_TRY(add_part(L, net, "links", add_links, err));
    lua_pushvalue(L, 6);
    mbl_status status = mbl_net_heats(L, net, err);
    if (status != MBL_OK) {
        mbl_error_under(err, "heat");
        return status;
    }
    return mbl_model_make(&net->build, net->ambient, &net->model, err);
}

static void check_keys(lua_State *L)
{
    static const char *const names[] = {"ambient", "heat", "links", "nodes"};
    for (lua_pushnil(L); lua_next(L, 1); lua_pop(L, 1)) {
        const char *key = lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "1";
        bool known = false;
        for (size_t i = 0; i < sizeof names / sizeof names[0]; i++)
            known = known || strcmp(key, names[i]) == 0;
        if (!known)
            (void)mbl_host_unknown(L, "el.network", key, names, sizeof names / sizeof names[0]);
    }
}

int mbl_net_call(lua_State *L)
{
    static const char *const keys[] = {"ambient", "nodes", "links", "heat"};
    if (lua_gettop(L) != 1 || !lua_istable(L, 1))
        return mbl_host_wrong(L, "", "el.network takes one table: { nodes =, links =, heat = }");
    check_keys(L);
    size_t before = mbl_host_of(L)->store.used;
    mbl_net *net = mbl_lua_new(L, &mbl_net_tag, sizeof *net, 1);
    net->alloc = &mbl_host_of(L)->store.alloc;
    mbl_network_init(&net->build, net->alloc);
    for (int i = 0; i < 4; i++) {
        lua_pushstring(L, keys[i]);
        lua_rawget(L, 1);
    }
    mbl_error err = {0};
    if (build(L, net, &err) != MBL_OK)
        return mbl_host_raise(L, &err);
    lua_newtable(L);
    for (size_t i = 0; i < net->nheats; i++) {
        if (!net->heat[i].function)
            continue;
        lua_pushstring(L, net->build.node[net->heat[i].node].name);
        lua_rawget(L, 6);
        lua_rawseti(L, -2, (lua_Integer)i + 1);
    }
    lua_setiuservalue(L, 2, 1);
    lua_settop(L, 2);
    mbl_lua_charge(L, before);
    return 1;
}

static int index_of(lua_State *L)
{
    static const char *const methods[] = {"simulate"};
    const char *key = lua_type(L, 2) == LUA_TSTRING ? lua_tostring(L, 2) : "?";
    if (strcmp(key, methods[0]) != 0)
        return mbl_host_unknown(L, "a network", key, methods, 1);
    lua_pushcfunction(L, mbl_net_simulate);
    return 1;
}

static int collect(lua_State *L)
{
    mbl_net *net = mbl_lua_test(L, 1, &mbl_net_tag);
    if (net == NULL || net->alloc == NULL)
        return 0;
    for (size_t i = 0; i < net->nheats; i++) {
        mbl_free(net->alloc, net->heat[i].t, net->heat[i].n, sizeof(double));
        mbl_free(net->alloc, net->heat[i].w, net->heat[i].n, sizeof(double));
    }
    mbl_free(net->alloc, net->heat, MBL_NET_NODES, sizeof *net->heat);
    mbl_free(net->alloc, net->start, MBL_NET_NODES, sizeof *net->start);
    mbl_network_free(&net->build);
    mbl_model_drop(net->model);
    *net = (mbl_net){0};
    return 0;
}

void mbl_net_open(lua_State *L)
{
    static const luaL_Reg meta[] = {{"__gc", collect}, {"__index", index_of}, {NULL, NULL}};
    mbl_lua_type(L, &mbl_net_tag, "network", meta);
}
