/* SPDX-License-Identifier: MIT */
/* A shortlist as CSV and as JSON: SI, whatever people's units are, for other programs. */
#include "out/shortlist.h"

#include "out/json.h"
#include "out/json_parts.h"
#include "out/words.h"

#include <stdio.h>
#include <string.h>

void mbl_out_shortlist_limit(const mbl_choice *choice, mbl_text *out)
{
    int axle = choice->tightest.axle;
    mbl_text_print(out, "%s %s", axle == MBL_WHOLE_CAR ? "car" : mbl_axle_word(axle),
                   mbl_check_word(choice->tightest.kind));
}

/* ---- CSV ---- */

/* In quotes, those in it doubled; what would break the line is a blank. */
static void add_quoted(mbl_text *out, const char *field)
{
    mbl_text_add(out, ",\"", 2);
    for (; *field != '\0'; field++) {
        bool breaks = (unsigned char)*field < 0x20;
        if (*field == '"')
            mbl_text_add(out, "\"", 1);
        mbl_text_add(out, breaks ? " " : field, 1);
    }
    mbl_text_add(out, "\"", 1);
}

static void add_number(mbl_text *out, double number)
{
    char text[32] = ""; /* what is not a number is nothing */
    if (number - number == 0)
        mbl_number_write(number, text);
    mbl_text_print(out, ",%s", text);
}

static void add_row(const mbl_shortlist_ask *ask, const mbl_shortlist *list, size_t i,
                    mbl_text *out)
{
    const mbl_choice *c = &list->row[i];
    mbl_text limit;
    mbl_text_init(&limit, out->alloc);
    mbl_text_print(out, "%zu", i + 1);
    for (size_t s = 0; s < ask->nslots; s++)
        add_quoted(out, c->pick[s] > 0 ? ask->slot[s].option[c->pick[s]].name : "");
    add_number(out, mbl_price_sum(&c->price));
    add_number(out, 1e-6 * (double)c->price.parts);
    add_number(out, 1e-6 * (double)c->price.labour);
    add_number(out, c->event);
    add_number(out, c->mass);
    mbl_out_shortlist_limit(c, &limit);
    mbl_text_print(out, ",%s,%s", mbl_verdict_word(c->verdict), mbl_text_get(&limit));
    add_number(out, c->tightest.margin);
    add_number(out, c->closest);
    mbl_text_print(out, "\n");
    out->failed = out->failed || limit.failed;
    mbl_text_free(&limit);
}

static mbl_status write_text(const mbl_text *text, const char *path, mbl_error *err)
{
    mbl_file file;
    if (text->failed)
        return mbl_fail(err, MBL_MEMORY, "out of memory writing %s", path);
    MBL_TRY(mbl_file_begin(&file, path, err));
    fwrite(mbl_text_get(text), 1, text->length, file.stream);
    return mbl_file_commit(&file, err);
}

mbl_status mbl_out_shortlist_csv(const mbl_shortlist_ask *ask, const mbl_shortlist *list,
                                 const char *path, mbl_error *err)
{
    mbl_text text;
    mbl_text_init(&text, ask->alloc);
    mbl_text_print(&text, "rank");
    for (size_t s = 0; s < ask->nslots; s++)
        mbl_text_print(&text, ",%s", mbl_slot_name(ask->slot[s].kind));
    mbl_text_print(&text, ",cost,parts,labour,event,mass,verdict,limit,margin,closest\n");
    for (size_t s = 0; s < ask->nslots; s++)
        mbl_text_print(&text, ",");
    mbl_text_print(&text, ",,,,,kg,,,SI,\n");
    for (size_t i = 0; i < list->n; i++)
        add_row(ask, list, i, &text);
    mbl_status status = write_text(&text, path, err);
    mbl_text_free(&text);
    return status;
}

/* ---- JSON ---- */

static json_t *limit_string(mbl_json *j, const mbl_alloc *alloc, const mbl_choice *c)
{
    mbl_text text;
    mbl_text_init(&text, alloc);
    mbl_out_shortlist_limit(c, &text);
    j->failed = j->failed || text.failed;
    json_t *value = json_string(mbl_text_get(&text));
    mbl_text_free(&text);
    return value;
}

static json_t *choice_object(mbl_json *j, const mbl_shortlist_ask *ask, const mbl_choice *c)
{
    json_t *o = json_object();
    json_t *picks = json_object();
    for (size_t s = 0; s < ask->nslots; s++)
        mbl_json_put(j, picks, mbl_slot_name(ask->slot[s].kind),
                     c->pick[s] > 0 ? mbl_json_text(ask->slot[s].option[c->pick[s]].name)
                                    : json_null());
    mbl_json_put(j, o, "picks", picks);
    mbl_json_put(j, o, "cost", mbl_json_number(mbl_price_sum(&c->price)));
    mbl_json_put(j, o, "parts", mbl_json_number(1e-6 * (double)c->price.parts));
    mbl_json_put(j, o, "labour", mbl_json_number(1e-6 * (double)c->price.labour));
    mbl_json_put(j, o, "event", mbl_json_number(c->event));
    mbl_json_put(j, o, "mass", mbl_json_number(c->mass));
    mbl_json_put(j, o, "verdict", json_string(mbl_verdict_word(c->verdict)));
    mbl_json_put(j, o, "limit", limit_string(j, ask->alloc, c));
    mbl_json_put(j, o, "margin", mbl_json_number(c->tightest.margin));
    mbl_json_put(j, o, "closest", mbl_json_number(c->closest));
    return o;
}

static json_t *count(size_t n)
{
    return json_integer((json_int_t)n);
}

static json_t *counts_object(mbl_json *j, const mbl_shortlist *list)
{
    json_t *o = json_object();
    json_t *misfit = json_object();
    for (int i = 1; i < MBL_MISFITS; i++)
        mbl_json_put(j, misfit, mbl_misfit_text((mbl_misfit)i), count(list->misfit[i]));
    mbl_json_put(j, o, "combinations", count(list->all));
    mbl_json_put(j, o, "do_not_fit", misfit);
    mbl_json_put(j, o, "fail_at_panic", count(list->panic));
    mbl_json_put(j, o, "could_not_run", count(list->failed));
    mbl_json_put(j, o, "judged", count(list->judged));
    mbl_json_put(j, o, "held", count(list->held));
    mbl_json_put(j, o, "only_later", count(list->later));
    mbl_json_put(j, o, "drives", count(list->drives));
    return o;
}

static json_t *document(mbl_json *j, const mbl_shortlist_ask *ask, const mbl_shortlist *list)
{
    json_t *o = json_object();
    json_t *rows = json_array();
    json_t *alone = json_object();
    for (size_t i = 0; i < list->n; i++) {
        json_t *row = choice_object(j, ask, &list->row[i]);
        size_t up = list->row[i].up;
        mbl_json_put(j, row, "more_margin", up < SIZE_MAX ? count(up + 1) : json_null());
        mbl_json_push(j, rows, row);
    }
    for (size_t s = 0; s < ask->nslots; s++)
        mbl_json_put(j, alone, mbl_slot_name(ask->slot[s].kind),
                     list->alone[s].any ? choice_object(j, ask, &list->alone[s].best)
                                        : json_null());
    mbl_json_put(j, o, "format", json_string("emberlap shortlist"));
    mbl_json_put(j, o, "version", json_string(MBL_VERSION));
    mbl_json_put(j, o, "by", json_string(mbl_shortlist_by_word(ask->by)));
    mbl_json_put(j, o, "need", json_string(mbl_verdict_word(ask->need)));
    mbl_json_put(j, o, "counts", counts_object(j, list));
    mbl_json_put(j, o, "as_it_is", choice_object(j, ask, &list->as_is));
    mbl_json_put(j, o, "packages", rows);
    mbl_json_put(j, o, "one_change_alone", alone);
    mbl_json_put(j, o, "step_up", list->stepped ? choice_object(j, ask, &list->step) : json_null());
    mbl_json_put(j, o, "nearest",
                 list->missed ? choice_object(j, ask, &list->nearest) : json_null());
    mbl_json_put(j, o, "cautions", mbl_json_sentences(j, mbl_words_cautions));
    return o;
}

static int add_bytes(const char *bytes, size_t n, void *text)
{
    mbl_text_add(text, bytes, n);
    return 0; /* a failure stays with the text */
}

mbl_status mbl_out_shortlist_json(const mbl_shortlist_ask *ask, const mbl_shortlist *list,
                                  const char *path, mbl_error *err)
{
    mbl_json j = {0};
    mbl_text text;
    mbl_text_init(&text, ask->alloc);
    json_t *o = document(&j, ask, list);
    if (j.failed || json_dump_callback(o, add_bytes, &text, JSON_INDENT(2) | JSON_SORT_KEYS) != 0)
        text.failed = true;
    json_decref(o);
    mbl_text_add(&text, "\n", 1);
    mbl_status status = write_text(&text, path, err);
    mbl_text_free(&text);
    return status;
}
