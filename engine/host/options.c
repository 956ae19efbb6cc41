/* SPDX-License-Identifier: MIT */
#include "host/options.h"

#include "host/definition.h"
#include "host/tree.h"

#include <string.h>

const mbl_node *mbl_options_self(lua_State *L, const mbl_schema *schema, const char *name)
{
    const mbl_definition *d = mbl_lua_test(L, 1, &mbl_definition_tag);
    if (d == NULL || d->node == NULL || d->node->bound != schema)
        (void)mbl_host_wrong(L, "", "%s is called on a %s, with a colon", name, schema->name);
    return d->node;
}

static mbl_status bind(lua_State *L, int index, const mbl_schema *takes, mbl_node **bound,
                       mbl_error *err)
{
    if (!lua_isnoneornil(L, index))
        return mbl_definition_bind(L, takes, index, bound, err);
    mbl_node *nothing = mbl_node_map(&mbl_host_of(L)->store.alloc);
    if (nothing == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory reading options");
    mbl_status status = mbl_bind(takes, nothing, bound, err);
    mbl_node_drop(nothing);
    return status;
}

void mbl_options_read(lua_State *L, int index, const mbl_schema *takes, void *out)
{
    if (!lua_isnoneornil(L, index) && !lua_istable(L, index))
        (void)mbl_host_wrong(L, takes->name, "takes its options in a table: %s { %s = ... }",
                             takes->name, takes->fields[0].key);
    mbl_error err = {0};
    mbl_node *bound = NULL;
    if (bind(L, index, takes, &bound, &err) != MBL_OK)
        (void)mbl_host_raise(L, &err);
    mbl_extract(takes, bound, out);
    mbl_node_drop(bound);
}

void mbl_options_take(lua_State *L, const mbl_schema *schema, void *part, const mbl_schema *takes,
                      void *out)
{
    mbl_extract(schema, mbl_options_self(L, schema, takes->name), part);
    mbl_options_read(L, 2, takes, out);
}
