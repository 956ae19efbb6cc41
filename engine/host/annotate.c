/* SPDX-License-Identifier: MIT */
/*
 * A definition X gives three classes: emberlap.X.keys is what el.X takes, emberlap.X.changes the
 * same with nothing required, for d:with, and emberlap.X is what el.X makes, with its methods.
 */
#include "host/annotate.h"

#include "host/answer.h"
#include "host/bindings.h"
#include "host/definition.h"
#include "host/network.h"
#include "host/result_names.h"

#include "study/gauge.h"

#include <string.h>

enum { ROOM = 160 };

static const char head[] =
    "---@meta emberlap\n"
    "-- SPDX-License-Identifier: MIT\n"
    "-- What Lua editors know of emberlap's scripts. Written by `emberlap help annotations`; it "
    "is\n"
    "-- never run. Units, ranges and defaults stand behind each key.\n"
    "\n"
    "---Points { { x, y }, ... } with x rising, or a function of x that is sampled once.\n"
    "---@alias emberlap.curve number[][]|fun(x: number): number\n"
    "---One heat transfer coefficient, or a function of speed (m/s) and temperature (C), in "
    "W/m2K.\n"
    "---@alias emberlap.film number|string|fun(speed: number, temperature: number): number\n";

/* Tables that are read without a schema: a network beside its ambient, a sweep, and its rows. */
static const char by_hand[] =
    "\n---@class emberlap.network.keys\n"
    "---@field nodes table<string, emberlap.node.keys> heat capacities by name\n"
    "---@field links? emberlap.link.keys[] ways for heat between nodes, or to \"ambient\"\n"
    "---@field heat? table<string, number|string|number[][]|fun(t: number): number> into nodes by "
    "name: W, points { t, W }, or a function of time in s\n"
    "\n---What el.sweep runs.\n---@class emberlap.sweep.keys\n"
    "---@field over? table<string, any[]|table<string, any>> the options of each axis by its name\n"
    "---@field rows? table[] rows one by one, in place of over\n"
    "---@field sample? integer how many of all combinations are run\n"
    "---@field seed? integer which ones (1)\n"
    "---@field case fun(x: table<string, any>): emberlap.run.keys what one row runs\n"
    "---@field measures? emberlap.measure[] what is kept of a row\n"
    "---@field journal? string file that rows are written to as they finish\n"
    "\n---A row of a sweep: its options by axis, and its measures by name.\n"
    "---@class emberlap.row\n"
    "---@field row integer its number\n"
    "---@field verdict? \"holds\"|\"marginal\"|\"fails\" nil when it could not be run\n"
    "---@field limit? string the tightest check: \"front fluid\"\n"
    "---@field closest? number its margin over its band\n"
    "---@field reason? string why it could not be run\n"
    "---@field [string] any\n"
    "\n---The rows of a sweep.\n---@class emberlap.grid\n---@field [integer] emberlap.row\n";

/* ---- quantities ---- */

/* "emberlap.temperature_difference" */
static void add_quantity(mbl_quantity quantity, mbl_text *text)
{
    mbl_text_print(text, "emberlap.");
    for (const char *c = mbl_quantity_word(quantity); *c != '\0'; c++)
        mbl_text_add(text, *c == ' ' ? "_" : c, 1);
}

static void add_quantities(mbl_text *text)
{
#define ONE(name, word, si) MBL_Q_##name,
    static const mbl_quantity all[] = {MBL_QUANTITY_LIST(ONE)};
#undef ONE
    for (size_t i = 0; i < sizeof all / sizeof all[0]; i++) {
        const char *si = mbl_quantity_si(all[i]);
        mbl_text_print(text, "---Such as %s", mbl_quantity_example(all[i]));
        if (si[0] != '\0')
            mbl_text_print(text, "; a bare number is in %s", si);
        mbl_text_print(text, ".\n---@alias ");
        add_quantity(all[i], text);
        mbl_text_print(text, " number|string\n");
    }
}

/* What a sweep can keep. */
static void add_measures(mbl_text *text)
{
    mbl_text_print(text, "\n---@alias emberlap.measure\n");
    for (size_t i = 0; i < mbl_gauge_count(); i++) {
        mbl_gauge g = mbl_gauge_at(i);
        mbl_text_print(text, "---| \"%s\" # %s\n", g.name, g.about);
    }
}

/* ---- keys ---- */

static bool is_known(const mbl_schema *schema)
{
    for (size_t i = 0; mbl_schemas[i] != NULL; i++)
        if (mbl_schemas[i] == schema)
            return true;
    return false;
}

/* Definitions have a type of their own; limits and phases are only ever written as tables. */
static bool is_made(const mbl_schema *schema)
{
#define SAME(name, made, about) || schema == &(made)
    return false MBL_DEFINITION_LIST(SAME);
#undef SAME
}

static void add_sub(const mbl_field *field, const char *path, const char *ending, mbl_text *text)
{
    if (is_made(field->sub))
        mbl_text_print(text, "emberlap.%s|", field->sub->name);
    if (is_known(field->sub))
        mbl_text_print(text, "emberlap.%s.%s", field->sub->name, ending);
    else
        mbl_text_print(text, "emberlap.%s.%s.%s", path, field->key, ending);
}

/* Items of one word need no table around them, and no class. */
static bool is_word(const mbl_field *field)
{
    return field->kind == MBL_FIELD_ITEMS && field->sub->nfields == 1 &&
           field->sub->fields[0].kind == MBL_FIELD_CHOICE && field->sub->fields[0].key == NULL;
}

static void add_choices(const mbl_field *field, mbl_text *text)
{
    for (size_t i = 0; field->choices[i] != NULL; i++)
        mbl_text_print(text, "%s\"%s\"", i > 0 ? "|" : "", field->choices[i]);
}

static void add_type(const mbl_field *field, const char *path, const char *ending, mbl_text *text)
{
    switch (field->kind) {
    case MBL_FIELD_NUMBER:
    case MBL_FIELD_NUMBERS:
        add_quantity(field->quantity, text);
        if (field->kind == MBL_FIELD_NUMBERS)
            mbl_text_print(text, "[]");
        break;
    case MBL_FIELD_COUNT:
        mbl_text_print(text, "integer");
        break;
    case MBL_FIELD_FLAG:
        mbl_text_print(text, "boolean");
        break;
    case MBL_FIELD_CHOICE:
        add_choices(field, text);
        break;
    case MBL_FIELD_TEXT:
        mbl_text_print(text, "string");
        break;
    case MBL_FIELD_CURVE:
        mbl_text_print(text, "emberlap.curve");
        break;
    case MBL_FIELD_FILM:
        mbl_text_print(text, "emberlap.film");
        break;
    case MBL_FIELD_GROUP:
    case MBL_FIELD_PART:
        add_sub(field, path, ending, text);
        break;
    case MBL_FIELD_ITEMS:
        /* the positional part is said item by item; what is in a list is never half given */
        mbl_text_print(text, is_word(field) ? "(" : "");
        if (is_word(field))
            add_choices(&field->sub->fields[0], text);
        else
            add_sub(field, path, "keys", text);
        mbl_text_print(text, "%s%s", is_word(field) ? ")" : "", field->key != NULL ? "[]" : "");
        break;
    case MBL_FIELD_HANDLE:
    case MBL_FIELD_LATER:
        break;
    }
}

static void add_key(const mbl_field *field, const char *path, const char *ending, mbl_text *text)
{
    bool must = field->need == MBL_REQUIRED && strcmp(ending, "keys") == 0;
    const char *place = field->kind == MBL_FIELD_ITEMS ? "[integer]" : "[1]";
    if (field->kind == MBL_FIELD_HANDLE || field->kind == MBL_FIELD_LATER)
        return;
    mbl_text_print(text, "---@field %s%s ", field->key != NULL ? field->key : place,
                   field->key != NULL && !must ? "?" : "");
    add_type(field, path, ending, text);
    mbl_text_print(text, " %s", field->about);
    if (field->kind != MBL_FIELD_GROUP && field->kind != MBL_FIELD_PART) {
        /* the words of a choice are its type */
        bool said = field->kind == MBL_FIELD_CHOICE || field->kind == MBL_FIELD_FLAG;
        mbl_text_print(text, " (");
        if (!said)
            mbl_field_range(field, text);
        mbl_text_print(text, said ? "" : "; ");
        mbl_field_default(field, text);
        mbl_text_print(text, ")");
    }
    mbl_text_print(text, "\n");
}

static void add_schema(const mbl_schema *schema, const char *path, bool changed, mbl_text *text);

/* The groups and items that have no name but their place. */
static void add_groups(const mbl_schema *schema, const char *path, bool changed, mbl_text *text)
{
    for (size_t i = 0; i < schema->nfields; i++) {
        const mbl_field *field = &schema->fields[i];
        char below[ROOM];
        bool group = field->kind == MBL_FIELD_GROUP || field->kind == MBL_FIELD_ITEMS;
        if (!group || is_known(field->sub) || is_word(field))
            continue;
        snprintf(below, sizeof below, "%.100s.%.50s", path, field->key);
        add_schema(field->sub, below, changed && field->kind == MBL_FIELD_GROUP, text);
    }
}

/* emberlap.PATH.keys, and with `changed` what it is of the keys that d:with may be given. */
static void add_schema(const mbl_schema *schema, const char *path, bool changed, mbl_text *text)
{
    add_groups(schema, path, changed, text);
    if (changed) {
        mbl_text_print(text, "\n---Keys of %s to change.\n---@class emberlap.%s.changes\n",
                       schema->name, path);
        for (size_t i = 0; i < schema->nfields; i++)
            add_key(&schema->fields[i], path, "changes", text);
    }
    mbl_text_print(text, "\n---%s\n---@class emberlap.%s.keys", schema->about, path);
    mbl_text_print(text, changed ? " : emberlap.%s.changes\n" : "\n", path);
    for (size_t i = 0; i < schema->nfields; i++)
        if (!changed || schema->fields[i].need == MBL_REQUIRED)
            add_key(&schema->fields[i], path, "keys", text);
}

static bool requires(const mbl_schema *schema)
{
    for (size_t i = 0; i < schema->nfields; i++)
        if (schema->fields[i].need == MBL_REQUIRED)
            return true;
    return false;
}

/* Everything that takes a table: definitions, methods, networks. */
static void add_all_keys(mbl_text *text)
{
    for (size_t i = 0; mbl_schemas[i] != NULL; i++)
        add_schema(mbl_schemas[i], mbl_schemas[i]->name, is_made(mbl_schemas[i]), text);
    for (size_t i = 0; i < mbl_answer_count; i++)
        if (mbl_answers[i].takes != NULL)
            add_schema(mbl_answers[i].takes, mbl_answers[i].takes->name, false, text);
    add_schema(&mbl_net_node_schema, "node", false, text);
    add_schema(&mbl_net_link_schema, "link", false, text);
    for (size_t i = 0; i < mbl_binding_count; i++)
        if (mbl_bindings[i].takes != NULL && !is_known(mbl_bindings[i].takes))
            add_schema(mbl_bindings[i].takes, mbl_bindings[i].takes->name, false, text);
    mbl_text_print(text, "%s", by_hand);
}

/* ---- what can be called and read ---- */

/* The sentence, and how it is called. */
static void add_about(const char *signature, const char *about, mbl_text *text)
{
    mbl_text_print(text, " %s `%s`\n", about, signature);
}

/* Type of a function: of a method with `self` in front, of a value when `fn` is false. */
static void add_function(const char *self, const mbl_schema *takes, const char *gives, bool fn,
                         mbl_text *text)
{
    bool whole = gives != NULL && (!fn || strncmp(gives, "fun(", 4) == 0);
    if (whole) {
        mbl_text_print(text, "%s", gives);
        return;
    }
    mbl_text_print(text, "fun(");
    if (self[0] != '\0')
        mbl_text_print(text, "self: emberlap.%s", self);
    if (self[0] != '\0' && takes != NULL)
        mbl_text_print(text, ", ");
    /* a method can do without its options; what el.X makes is made of a table */
    bool spared = self[0] != '\0' && takes != NULL && !requires(takes);
    if (takes != NULL)
        mbl_text_print(text, "options%s: emberlap.%s.keys", spared ? "?" : "", takes->name);
    if (takes == NULL && gives == NULL)
        mbl_text_print(text, "%s...: any", self[0] != '\0' ? ", " : "");
    mbl_text_print(text, "): %s", gives != NULL ? gives : "any");
}

/* Splits "net:simulate" into "net", "simulate"; of "el.none" the owner is "". */
static const char *owner_of(const mbl_binding *b, char owner[32])
{
    const char *colon = strchr(b->name, ':');
    const char *dot = strchr(b->name, '.');
    snprintf(owner, 32, "%.*s", colon != NULL ? (int)(colon - b->name) : 0, b->name);
    return colon != NULL ? colon + 1 : dot + 1;
}

/* Methods that the bindings give to `owner`. */
static void add_methods(const char *of, mbl_text *text)
{
    for (size_t i = 0; i < mbl_binding_count; i++) {
        const mbl_binding *b = &mbl_bindings[i];
        char owner[32];
        const char *name = owner_of(b, owner);
        if (strcmp(owner, of) != 0)
            continue;
        mbl_text_print(text, "---@field %s ", name);
        /* el.none and el.args are values: they are no function, and are written without a table */
        bool fn = of[0] != '\0' || b->fn != NULL;
        add_function(of, b->takes, b->gives, fn, text);
        add_about(b->signature, b->about, text);
    }
}

static void add_definition(const mbl_schema *schema, const char *about, mbl_text *text)
{
    const char *name = schema->name;
    mbl_text_print(text, "\n---%s.\n---@class emberlap.%s\n", about, name);
    for (size_t i = 0; i < mbl_binding_count; i++) {
        char owner[32];
        const char *method = owner_of(&mbl_bindings[i], owner);
        if (strcmp(owner, "d") != 0)
            continue;
        mbl_text_print(
            text, "---@field %s fun(self: emberlap.%s, changes: emberlap.%s.changes): emberlap.%s",
            method, name, name, name);
        add_about(mbl_bindings[i].signature, mbl_bindings[i].about, text);
    }
    for (size_t i = 0; i < mbl_answer_count; i++) {
        const mbl_answer *a = &mbl_answers[i];
        if (a->schema != schema)
            continue;
        mbl_text_print(text, "---@field %s ", a->name);
        add_function(name, a->takes, a->gives, true, text);
        add_about(a->signature, a->about, text);
    }
}

static void add_result(const mbl_result_class *of, mbl_text *text)
{
    mbl_text_print(text, "\n---%s `%s`\n---@class emberlap.%s", of->about, of->where, of->name);
    if (of->base != NULL)
        mbl_text_print(text, " : emberlap.%s", of->base->name);
    mbl_text_print(text, "\n");
    for (size_t i = 0; i < of->n; i++) {
        const mbl_result_name *row = &of->names[i];
        if (strcmp(row->type, MBL_METHOD) == 0)
            continue;
        mbl_text_print(text, "---@field %s%s %s %s", row->name,
                       row->need == MBL_SOMETIMES ? "?" : "", row->type, row->about);
        if (row->unit[0] != '\0')
            mbl_text_print(text, " (%s)", row->unit);
        mbl_text_print(text, "\n");
    }
}

/* Each owner of methods once; a class may be opened again. */
static void add_owners(mbl_text *text)
{
    for (size_t i = 0; i < mbl_binding_count; i++) {
        char owner[32];
        char before[32];
        (void)owner_of(&mbl_bindings[i], owner);
        bool seen = owner[0] == '\0' || strcmp(owner, "d") == 0;
        for (size_t j = 0; j < i && !seen; j++) {
            (void)owner_of(&mbl_bindings[j], before);
            seen = strcmp(owner, before) == 0;
        }
        if (seen)
            continue;
        mbl_text_print(text, "\n---@class emberlap.%s\n", owner);
        add_methods(owner, text);
    }
}

void mbl_annotate(mbl_text *text)
{
    mbl_text_print(text, "%s", head);
    add_quantities(text);
    add_measures(text);
    add_all_keys(text);
#define ONE(name, schema, about) add_definition(&(schema), about, text);
    MBL_DEFINITION_LIST(ONE)
#undef ONE
    for (size_t i = 0; mbl_result_classes[i] != NULL; i++)
        add_result(mbl_result_classes[i], text);
    add_owners(text);
    mbl_text_print(text, "\n---@class emberlap\n");
    add_methods("", text);
    mbl_text_print(text, "local el = {}\nreturn el\n");
}
