/* SPDX-License-Identifier: MIT */
#include "host/options.h"

#include "host/definition.h"

#include <math.h>
#include <string.h>

const mbl_node *mbl_options_self(lua_State *L, const mbl_schema *schema, const char *name)
{
    const mbl_definition *d = mbl_lua_test(L, 1, &mbl_definition_tag);
    if (d == NULL || d->node == NULL || d->node->bound != schema)
        (void)mbl_host_wrong(L, "", "%s is called on a %s, with a colon", name, schema->name);
    return d->node;
}

void mbl_options_check(lua_State *L, const char *name, const char *const *known)
{
    size_t n = 0;
    while (known[n] != NULL)
        n++;
    if (lua_isnoneornil(L, 2))
        return;
    if (!lua_istable(L, 2))
        (void)mbl_host_wrong(L, name, "takes one table of options");
    for (lua_pushnil(L); lua_next(L, 2); lua_pop(L, 1)) {
        const char *key = lua_type(L, -2) == LUA_TSTRING ? lua_tostring(L, -2) : "?";
        bool found = false;
        for (size_t i = 0; i < n; i++)
            found = found || strcmp(known[i], key) == 0;
        if (!found)
            (void)mbl_host_unknown(L, name, key, known, n);
    }
}

double mbl_option(lua_State *L, const char *name, const char *key, mbl_quantity quantity,
                  double otherwise)
{
    double si = otherwise;
    char path[64];
    snprintf(path, sizeof path, "%.30s.%.30s", name, key);
    int type = LUA_TNIL;
    if (lua_isnoneornil(L, 2))
        lua_pushnil(L);
    else
        type = lua_getfield(L, 2, key);
    if (type == LUA_TNIL && isnan(otherwise))
        (void)mbl_host_wrong(L, path, "missing: %s, such as %s", mbl_quantity_word(quantity),
                             mbl_quantity_example(quantity));
    if (type == LUA_TNUMBER) {
        si = mbl_units_bare(quantity, lua_tonumber(L, -1));
    } else if (type == LUA_TSTRING) {
        mbl_error err = {0};
        if (mbl_units_read(quantity, lua_tostring(L, -1), &si, &err) != MBL_OK) {
            mbl_error_under(&err, path);
            (void)mbl_host_raise(L, &err);
        }
    } else if (type != LUA_TNIL) {
        (void)mbl_host_wrong(L, path, "expected a %s such as %s", mbl_quantity_word(quantity),
                             mbl_quantity_example(quantity));
    }
    lua_pop(L, 1);
    if (!isfinite(si))
        (void)mbl_host_wrong(L, path, "expected a finite number");
    return si;
}

double mbl_option_positive(lua_State *L, const char *name, const char *key, mbl_quantity quantity,
                           double otherwise)
{
    double si = mbl_option(L, name, key, quantity, otherwise);
    char path[64];
    snprintf(path, sizeof path, "%.30s.%.30s", name, key);
    if (si < 0)
        (void)mbl_host_wrong(L, path, "%g is below 0", si);
    return si;
}
