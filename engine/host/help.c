/* SPDX-License-Identifier: MIT */
#include "host/help.h"

#include "host/annotate.h"
#include "host/answer.h"
#include "host/bindings.h"
#include "host/result_names.h"

#include "study/gauge.h"

#include <string.h>

/* Keys of a definition have a topic of their own; those of a method stand with it. */
static void add_options(const mbl_schema *takes, mbl_text *text)
{
    for (size_t i = 0; mbl_schemas[i] != NULL; i++)
        if (takes == mbl_schemas[i]) {
            mbl_text_print(text, "Its keys: `emberlap help %s`.\n", takes->name);
            return;
        }
    if (takes == NULL)
        return;
    mbl_text_print(text, "\n");
    mbl_schema_table(takes, text);
}

static void document_el(mbl_text *text)
{
    for (size_t i = 0; i < mbl_binding_count; i++) {
        const mbl_binding *b = &mbl_bindings[i];
        mbl_text_print(text, "%s## %s\n\n    %s\n\n%s\n", i > 0 ? "\n" : "", b->name, b->signature,
                       b->about);
        add_options(b->takes, text);
    }
    for (size_t i = 0; i < mbl_answer_count; i++) {
        const mbl_answer *a = &mbl_answers[i];
        mbl_text_print(text, "\n## %s:%s\n\n    %s\n\n%s\n", a->schema->name, a->name, a->signature,
                       a->about);
        add_options(a->takes, text);
    }
}

/* "a"|"b" as `"a"`, `"b"` */
static void add_words(const char *words, mbl_text *text)
{
    mbl_text_print(text, "`");
    for (const char *c = words; *c != '\0'; c++)
        mbl_text_print(text, *c == '|' ? "`, `" : "%c", *c);
    mbl_text_print(text, "`");
}

/* One row a name; one that holds a table says of which class. */
static void add_row(const mbl_result_name *row, mbl_text *text)
{
    const char *dot = strchr(row->type, '.');
    mbl_text_print(text, "| `%s` | %s | %s", row->name, row->unit, row->about);
    if (row->type[0] == '"') {
        mbl_text_print(text, ": ");
        add_words(row->type, text);
    } else if (dot != NULL) {
        size_t n = strcspn(dot + 1, "[>");
        mbl_text_print(text, ": %s%.*s", dot[n + 1] == '[' ? "each a " : "", (int)n, dot + 1);
    }
    mbl_text_print(text, "%s |\n", row->need == MBL_SOMETIMES ? "; nil where there is none" : "");
}

static void add_class(const mbl_result_class *of, mbl_text *text)
{
    mbl_text_print(text, "## %s\n\n`%s`: %s", of->name, of->where, of->about);
    if (of->base != NULL)
        mbl_text_print(text, " Also all of %s.", of->base->name);
    mbl_text_print(text, "\n\n| name | unit | what it is |\n|---|---|---|\n");
    for (size_t i = 0; i < of->n; i++)
        add_row(&of->names[i], text);
}

static void document_results(mbl_text *text)
{
    for (size_t i = 0; mbl_result_classes[i] != NULL; i++) {
        if (i > 0)
            mbl_text_print(text, "\n");
        add_class(mbl_result_classes[i], text);
    }
}

/* What a sweep can keep of a row. */
static void document_measures(mbl_text *text)
{
    mbl_text_print(text,
                   "## sweep\n\nWhat a row of a sweep can keep, by the names of results; "
                   "`measures` says which, those marked are kept when it does not.\n\n"
                   "| measure | unit | kept | better | what it is |\n|---|---|---|---|---|\n");
    for (size_t i = 0; i < mbl_gauge_count(); i++) {
        static const char *const better[] = {
            [MBL_BETTER_MORE] = "more", [MBL_BETTER_LESS] = "less", [MBL_BETTER_NEITHER] = ""};
        mbl_gauge g = mbl_gauge_at(i);
        mbl_text_print(text, "| `%s` | %s | %s | %s | %s |\n", g.name, mbl_quantity_si(g.quantity),
                       g.usual ? "yes" : "", better[g.better], g.about);
    }
}

static void document_topics(mbl_text *text)
{
    const char *names[MBL_HELP_TOPICS];
    size_t n = mbl_help_topics(names);
    for (size_t i = 0; i < n; i++)
        mbl_text_print(text, "%s\n", names[i]);
}

static const struct {
    const char *name;
    void (*write)(mbl_text *text);
} topics[] = {{"el", document_el},
              {"results", document_results},
              {"sweep", document_measures},
              {"annotations", mbl_annotate},
              {"topics", document_topics}};
enum { TOPICS = sizeof topics / sizeof topics[0] };

size_t mbl_help_topics(const char *names[MBL_HELP_TOPICS])
{
    size_t n = 0;
    for (size_t i = 0; i < TOPICS; i++)
        names[n++] = topics[i].name;
    for (size_t i = 0; mbl_schemas[i] != NULL && n < MBL_HELP_TOPICS; i++)
        names[n++] = mbl_schemas[i]->name;
    return n;
}

bool mbl_help(const char *topic, mbl_text *text)
{
    for (size_t i = 0; i < TOPICS; i++)
        if (strcmp(topics[i].name, topic) == 0) {
            topics[i].write(text);
            return true;
        }
    for (size_t i = 0; mbl_schemas[i] != NULL; i++)
        if (strcmp(mbl_schemas[i]->name, topic) == 0) {
            mbl_schema_document(mbl_schemas[i], text);
            return true;
        }
    return false;
}
