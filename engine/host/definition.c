/* SPDX-License-Identifier: MIT */
#include "host/definition.h"

#include "host/answer.h"
#include "host/course.h"
#include "host/files.h"
#include "host/tree.h"

#include <string.h>

const char mbl_definition_tag;
const char mbl_none_tag;

/* ring_mass alone does not say whose: rotor.ring_mass. The binder does so for its own errors. */
static void name_owner(mbl_error *err, const mbl_schema *schema)
{
    if (err->path[0] == '[' || strchr(err->path, '.') == NULL)
        mbl_error_under(err, schema->name);
}

static mbl_status read_raw(lua_State *L, const mbl_schema *schema, int index, mbl_node **raw,
                           mbl_error *err)
{
    mbl_status status = mbl_tree_read(L, index, raw, err);
    if (status != MBL_OK)
        name_owner(err, schema);
    return status;
}

mbl_status mbl_definition_bind(lua_State *L, const mbl_schema *schema, int index, mbl_node **bound,
                               mbl_error *err)
{
    mbl_node *raw = NULL;
    MBL_TRY(read_raw(L, schema, index, &raw, err));
    mbl_status status = mbl_bind(schema, raw, bound, err);
    mbl_node_drop(raw);
    /* a line that a part once had in its document means nothing in this script */
    err->line = 0;
    err->column = 0;
    return status;
}

/* A document, bound; errors have its file and line. */
static mbl_status bind_document(mbl_host *host, const mbl_schema *schema, const char *name,
                                mbl_node **bound, mbl_error *err)
{
    char path[MBL_HOST_PATH];
    mbl_node *raw = NULL;
    MBL_TRY(mbl_files_find(host, "file", name, path, err));
    mbl_status status = mbl_document_read(&host->store.alloc, path, &raw, err);
    if (status == MBL_OK)
        status = mbl_bind(schema, raw, bound, err);
    mbl_node_drop(raw);
    if (status != MBL_OK)
        mbl_error_at(err, path, 0, 0);
    return status;
}

static int make(lua_State *L, const char *name, const mbl_schema *schema)
{
    mbl_host *host = mbl_host_of(L);
    if (lua_gettop(L) != 1 || lua_isnil(L, 1))
        return mbl_host_wrong(L, "",
                              "el.%s takes one thing: a table of its keys, or the name of a YAML "
                              "file that has them",
                              name);
    size_t before = host->store.used;
    mbl_definition *d = mbl_lua_new(L, &mbl_definition_tag, sizeof *d, 0);
    mbl_error err = {0};
    mbl_status status;
    if (lua_type(L, 1) == LUA_TSTRING && strlen(lua_tostring(L, 1)) == lua_rawlen(L, 1))
        status = bind_document(host, schema, lua_tostring(L, 1), &d->node, &err);
    else
        status = mbl_definition_bind(L, schema, 1, &d->node, &err);
    mbl_host_engine_begin(host);
    if (status == MBL_OK && schema == &mbl_course_schema)
        status = mbl_course_attach(host, d->node, &err);
    mbl_host_engine_end(host);
    if (status != MBL_OK)
        return mbl_host_raise(L, &err);
    mbl_lua_charge(L, before);
    return 1;
}

#define MBL_DEFINITION_MAKE(name, schema, about)                                                   \
    int mbl_make_##name(lua_State *L)                                                              \
    {                                                                                              \
        return make(L, #name, &schema);                                                            \
    }
MBL_DEFINITION_LIST(MBL_DEFINITION_MAKE)

static mbl_definition *check(lua_State *L, int index)
{
    mbl_definition *d = mbl_lua_test(L, index, &mbl_definition_tag);
    if (d == NULL || d->node == NULL)
        (void)mbl_host_wrong(L, "", "d:with{...} is called on a definition, with a colon");
    return d;
}

/* The keys of a definition are in a map, also when the patch has only a list part. */
static mbl_status read_patch(lua_State *L, const mbl_node *old, mbl_node **patch, mbl_error *err)
{
    mbl_node *raw = NULL;
    MBL_TRY(read_raw(L, old->bound, 2, &raw, err));
    mbl_node *map = raw->kind == MBL_NODE_LIST ? mbl_node_map(raw->alloc) : raw;
    if (map == NULL) {
        mbl_node_drop(raw);
        return mbl_fail(err, MBL_MEMORY, "out of memory changing a definition");
    }
    if (map != raw)
        map->positional = raw;
    mbl_status status = MBL_OK;
    if (old->bound == &mbl_course_schema)
        status = mbl_course_detach(map, err);
    if (status == MBL_OK)
        *patch = map;
    else
        mbl_node_drop(map);
    return status;
}

static mbl_status change(lua_State *L, const mbl_node *old, mbl_node **bound, mbl_error *err)
{
    mbl_node *patch = NULL;
    MBL_TRY(read_patch(L, old, &patch, err));
    mbl_node *merged = mbl_node_merge(old, patch);
    mbl_node_drop(patch);
    if (merged == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory changing a definition");
    mbl_status status = mbl_bind(old->bound, merged, bound, err);
    mbl_node_drop(merged);
    err->line = 0;
    err->column = 0;
    return status;
}

int mbl_definition_with(lua_State *L)
{
    mbl_host *host = mbl_host_of(L);
    const mbl_definition *old = check(L, 1);
    if (lua_gettop(L) != 2 || !lua_istable(L, 2))
        return mbl_host_wrong(L, old->node->bound->name,
                              "with takes one table: the keys to change");
    size_t before = host->store.used;
    mbl_definition *d = mbl_lua_new(L, &mbl_definition_tag, sizeof *d, 0);
    mbl_error err = {0};
    mbl_status status = change(L, old->node, &d->node, &err);
    mbl_host_engine_begin(host);
    if (status == MBL_OK && d->node->bound == &mbl_course_schema)
        status = mbl_course_attach(host, d->node, &err);
    mbl_host_engine_end(host);
    if (status != MBL_OK)
        return mbl_host_raise(L, &err);
    mbl_lua_charge(L, before);
    return 1;
}

static int index_of(lua_State *L)
{
    const mbl_definition *d = check(L, 1);
    const char *kind = d->node->bound->name;
    const char *key = lua_type(L, 2) == LUA_TSTRING ? lua_tostring(L, 2) : "?";
    if (strcmp(key, "with") == 0) {
        lua_pushcfunction(L, mbl_definition_with);
        return 1;
    }
    const char *methods[8] = {"with"};
    size_t n = 1;
    for (size_t i = 0; i < mbl_answer_count; i++) {
        if (mbl_answers[i].schema != d->node->bound)
            continue;
        if (strcmp(mbl_answers[i].name, key) == 0) {
            lua_pushcfunction(L, mbl_answers[i].call);
            return 1;
        }
        methods[n++] = mbl_answers[i].name;
    }
    const char *meant = mbl_nearest(key, methods, n);
    if (meant != NULL)
        return mbl_host_wrong(L, "", "a %s has no method \"%.60s\"; did you mean \"%s\"?", kind,
                              key, meant);
    return mbl_host_wrong(L, "",
                          "a %s has no method or value \"%.60s\"; emberlap help el lists the "
                          "methods, and values are not read back",
                          kind, key);
}

static int set_index(lua_State *L)
{
    const mbl_definition *d = check(L, 1);
    return mbl_host_wrong(L, d->node->bound->name,
                          "a definition is not changed; d:with{...} makes a changed copy");
}

static const mbl_field *field_of(const mbl_schema *schema, const char *key)
{
    for (size_t i = 0; i < schema->nfields; i++)
        if (schema->fields[i].key != NULL && strcmp(schema->fields[i].key, key) == 0)
            return &schema->fields[i];
    return NULL;
}

/* "rotor { diameter = 0.355 m, hat = plain }": leaves in full, anything nested as its name. */
static void describe(const mbl_node *node, mbl_text *text)
{
    const char *before = " ";
    mbl_text_print(text, "%s {", node->bound->name);
    for (size_t i = 0; i < node->count; i++) {
        const mbl_node *item = node->items[i];
        const mbl_field *field = field_of(node->bound, node->keys[i]);
        if (field == NULL || item->kind == MBL_NODE_HANDLE)
            continue;
        mbl_text_print(text, "%s%s", before, node->keys[i]);
        before = ", ";
        if (item->kind == MBL_NODE_NUMBER) {
            char shown[48];
            mbl_units_show(field->kind == MBL_FIELD_COUNT ? MBL_Q_COUNT : field->quantity,
                           item->number, shown);
            mbl_text_print(text, " = %s", shown);
        } else if (item->kind == MBL_NODE_TEXT) {
            mbl_text_print(text, " = %s", item->text);
        }
    }
    mbl_text_print(text, " }");
}

static int to_string(lua_State *L)
{
    const mbl_definition *d = check(L, 1);
    mbl_text *text = mbl_lua_text(L);
    describe(d->node, text);
    if (text->failed)
        return luaL_error(L, "out of memory");
    lua_pushlstring(L, mbl_text_get(text), text->length);
    mbl_text_free(text);
    return 1;
}

static int collect(lua_State *L)
{
    mbl_definition *d = mbl_lua_test(L, 1, &mbl_definition_tag);
    if (d != NULL) {
        mbl_node_drop(d->node);
        d->node = NULL;
    }
    return 0;
}

static int none_to_string(lua_State *L)
{
    lua_pushliteral(L, "el.none");
    return 1;
}

void mbl_definition_open(lua_State *L)
{
    static const luaL_Reg meta[] = {{"__gc", collect},
                                    {"__index", index_of},
                                    {"__newindex", set_index},
                                    {"__tostring", to_string},
                                    {NULL, NULL}};
    static const luaL_Reg none[] = {{"__tostring", none_to_string}, {NULL, NULL}};
    mbl_lua_type(L, &mbl_definition_tag, "definition", meta);
    mbl_lua_type(L, &mbl_none_tag, "none", none);
}
