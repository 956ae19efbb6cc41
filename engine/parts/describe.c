/* SPDX-License-Identifier: MIT */
/* The field tables as Markdown. */
#include "parts/bind.h"

#include "parts/say.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

enum { ROOM = 160 };

/* Adds text to a table cell: a bar would end the cell. */
static void add_cell(mbl_text *text, const char *cell)
{
    for (; *cell != '\0'; cell++) {
        if (*cell == '|')
            mbl_text_add(text, "\\", 1);
        mbl_text_add(text, *cell == '\n' ? " " : cell, 1);
    }
}

static void add_unit(const mbl_field *field, mbl_text *text)
{
    if (field->kind == MBL_FIELD_NUMBER || field->kind == MBL_FIELD_NUMBERS)
        add_cell(text, mbl_quantity_si(field->quantity));
    else if (field->kind == MBL_FIELD_CURVE)
        mbl_text_print(text, "over %s", mbl_quantity_si(field->quantity));
    else if (field->kind == MBL_FIELD_FILM)
        mbl_text_print(text, "W/m2K over m/s, C");
}

static void add_limits(const mbl_field *field, mbl_quantity quantity, mbl_text *text)
{
    char lo[48];
    char hi[48];
    mbl_units_show(quantity, field->lo, lo);
    mbl_units_show(quantity, field->hi, hi);
    if (!mbl_field_ranged(field))
        mbl_text_print(text, "any");
    else if (isinf(field->hi))
        mbl_text_print(text, "%s or more", lo);
    else if (isinf(field->lo))
        mbl_text_print(text, "%s or less", hi);
    else
        mbl_text_print(text, "%s to %s", lo, hi);
}

static void add_how_many(const mbl_field *field, const char *noun, mbl_text *text)
{
    size_t least = field->least > 0 || field->kind == MBL_FIELD_ITEMS ? field->least : 1;
    size_t most = mbl_field_most(field);
    if (least == most)
        mbl_text_print(text, "%zu %s", least, noun);
    else
        mbl_text_print(text, "%zu to %zu %s", least, most, noun);
}

void mbl_field_range(const mbl_field *field, mbl_text *text)
{
    switch (field->kind) {
    case MBL_FIELD_NUMBER:
        add_limits(field, field->quantity, text);
        break;
    case MBL_FIELD_COUNT:
        add_limits(field, MBL_Q_COUNT, text);
        break;
    case MBL_FIELD_FLAG:
        mbl_text_print(text, "`true`, `false`");
        break;
    case MBL_FIELD_CHOICE:
        for (size_t i = 0; field->choices[i] != NULL; i++)
            mbl_text_print(text, "%s`\"%s\"`", i > 0 ? ", " : "", field->choices[i]);
        break;
    case MBL_FIELD_TEXT:
        mbl_text_print(text, "text");
        break;
    case MBL_FIELD_NUMBERS:
        add_how_many(field, "values, each ", text);
        add_limits(field, field->quantity, text);
        break;
    case MBL_FIELD_CURVE:
        add_how_many(field, "pairs, value ", text);
        add_limits(field, MBL_Q_SHARE, text);
        break;
    case MBL_FIELD_PART:
        mbl_text_print(text, "%s %s", mbl_say_a(field->sub->name), field->sub->name);
        break;
    case MBL_FIELD_ITEMS:
        add_how_many(field, "items", text);
        break;
    case MBL_FIELD_FILM:
        mbl_text_print(text, "function or value, ");
        add_limits(field, MBL_Q_FILM, text);
        break;
    case MBL_FIELD_GROUP:
    case MBL_FIELD_HANDLE:
    case MBL_FIELD_LATER:
        break;
    }
}

static void add_fallback(const mbl_field *field, mbl_text *text)
{
    char shown[48];
    switch (field->kind) {
    case MBL_FIELD_FLAG:
        mbl_text_print(text, field->fallback != 0.0 ? "`true`" : "`false`");
        break;
    case MBL_FIELD_CHOICE:
        mbl_text_print(text, "`\"%s\"`", field->choices[(size_t)field->fallback]);
        break;
    case MBL_FIELD_TEXT:
        mbl_text_print(text, "`\"%s\"`", field->choices != NULL ? field->choices[0] : "");
        break;
    case MBL_FIELD_GROUP:
    case MBL_FIELD_PART:
        mbl_text_print(text, "its defaults");
        break;
    case MBL_FIELD_ITEMS:
        mbl_text_print(text, "empty");
        break;
    default:
        mbl_units_show(field->kind == MBL_FIELD_COUNT   ? MBL_Q_COUNT
                       : field->kind == MBL_FIELD_CURVE ? MBL_Q_SHARE
                                                        : field->quantity,
                       field->fallback, shown);
        mbl_text_print(text, "%s", shown);
        break;
    }
}

void mbl_field_default(const mbl_field *field, mbl_text *text)
{
    switch (field->need) {
    case MBL_REQUIRED:
        mbl_text_print(text, "required");
        break;
    case MBL_DEFAULT:
        add_fallback(field, text);
        break;
    case MBL_INFERRED:
        mbl_text_print(text, "worked out");
        break;
    case MBL_OPTIONAL:
        mbl_text_print(text, "none");
        break;
    }
}

static void add_row(const mbl_field *field, const char *path, mbl_text *text)
{
    mbl_text_print(text, "| `%s` | ", path);
    add_unit(field, text);
    mbl_text_print(text, " | ");
    mbl_field_range(field, text);
    mbl_text_print(text, " | ");
    mbl_field_default(field, text);
    mbl_text_print(text, " | ");
    add_cell(text, field->about);
    if (field->source != NULL && field->source[0] != '\0') {
        mbl_text_print(text, " (");
        add_cell(text, field->source);
        mbl_text_print(text, ")");
    }
    mbl_text_print(text, " |\n");
}

static void add_rows(const mbl_schema *schema, const char *above, mbl_text *text)
{
    for (size_t i = 0; i < schema->nfields; i++) {
        const mbl_field *field = &schema->fields[i];
        if (field->kind == MBL_FIELD_LATER || field->kind == MBL_FIELD_HANDLE)
            continue;
        char path[ROOM];
        const char *dot = above[0] != '\0' && field->key != NULL ? "." : "";
        const char *step = field->key != NULL               ? field->key
                           : field->kind == MBL_FIELD_ITEMS ? "[]"
                                                            : "[1]";
        bool items = field->kind == MBL_FIELD_ITEMS && field->key != NULL;
        snprintf(path, sizeof path, "%s%s%s%s", above, dot, step, items ? "[]" : "");
        add_row(field, path, text);
        if (field->kind == MBL_FIELD_GROUP || field->kind == MBL_FIELD_ITEMS)
            add_rows(field->sub, path, text);
    }
}

/* The keys that are known and refused, in one line. */
static void add_later(const mbl_schema *schema, mbl_text *text)
{
    bool any = false;
    for (size_t i = 0; i < schema->nfields; i++) {
        if (schema->fields[i].kind != MBL_FIELD_LATER)
            continue;
        mbl_text_print(text, "%s`%s`",
                       any ? ", " : "\nNot yet modelled, and refused: ", schema->fields[i].key);
        any = true;
    }
    if (any)
        mbl_text_print(text, ".\n");
}

void mbl_schema_table(const mbl_schema *schema, mbl_text *text)
{
    mbl_text_print(text, "| key | unit | range | default | what it is |\n");
    mbl_text_print(text, "|---|---|---|---|---|\n");
    add_rows(schema, "", text);
    add_later(schema, text);
}

void mbl_schema_document(const mbl_schema *schema, mbl_text *text)
{
    mbl_text_print(text, "## %s\n\n%s\n\n", schema->name, schema->about);
    mbl_schema_table(schema, text);
}
