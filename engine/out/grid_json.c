/* SPDX-License-Identifier: MIT */
/*
 * A sweep as JSON. Rows are written one by one as they are made: of 100,000 of them as values in
 * memory would take more than the sweep itself.
 */
#include "out/grid.h"
#include "out/json.h"

#include "out/grid_parts.h"
#include "out/json_parts.h"
#include "out/words.h"

#include <stdio.h>
#include <string.h>

static json_t *axes_array(mbl_json *j, const mbl_grid *grid)
{
    json_t *list = json_array();
    for (size_t i = 0; i < grid->naxes; i++) {
        json_t *o = json_object();
        json_t *options = json_array();
        /* rows of their own say themselves what they are */
        for (size_t k = 0; grid->shape == MBL_GRID_PRODUCT && k < grid->axis[i].n; k++)
            mbl_json_push(j, options, mbl_json_text(grid->axis[i].label[k]));
        mbl_json_put(j, o, "name", mbl_json_text(grid->axis[i].name));
        mbl_json_put(j, o, "options", options);
        mbl_json_push(j, list, o);
    }
    return list;
}

static json_t *gauges_array(mbl_json *j, const mbl_grid *grid)
{
    static const char *const better[] = {
        [MBL_BETTER_MORE] = "more", [MBL_BETTER_LESS] = "less", [MBL_BETTER_NEITHER] = "neither"};
    json_t *list = json_array();
    for (size_t i = 0; i < grid->ngauges; i++) {
        mbl_gauge gauge = mbl_gauge_at(grid->gauge[i]);
        if (mbl_grid_is_closest(grid, i))
            continue;
        json_t *o = json_object();
        mbl_json_put(j, o, "name", json_string(gauge.name));
        mbl_json_put(j, o, "unit", json_string(mbl_quantity_si(gauge.quantity)));
        mbl_json_put(j, o, "better", json_string(better[gauge.better]));
        mbl_json_put(j, o, "about", json_string(gauge.about));
        mbl_json_push(j, list, o);
    }
    return list;
}

static json_t *head_object(mbl_json *j, const mbl_grid *grid)
{
    size_t open = 0;
    for (size_t at = 0; at < grid->end - grid->first; at++)
        open += grid->row[at].state == MBL_ROW_OPEN;
    json_t *o = json_object();
    mbl_json_put(j, o, "format", json_string("emberlap sweep"));
    mbl_json_put(j, o, "version", json_string(MBL_VERSION));
    mbl_json_put(j, o, "combined", json_boolean(grid->shape == MBL_GRID_PRODUCT));
    mbl_json_put(j, o, "axes", axes_array(j, grid));
    mbl_json_put(j, o, "gauges", gauges_array(j, grid));
    mbl_json_put(j, o, "rows_of_all", json_integer((json_int_t)grid->rows));
    mbl_json_put(j, o, "first", json_integer((json_int_t)grid->first + 1));
    mbl_json_put(j, o, "last", json_integer((json_int_t)grid->end));
    mbl_json_put(j, o, "not_run_yet", json_integer((json_int_t)open));
    mbl_json_put(j, o, "cautions", mbl_json_sentences(j, mbl_words_cautions));
    return o;
}

static json_t *limit_string(mbl_json *j, const mbl_grid *grid, const mbl_grid_row *r)
{
    mbl_text text;
    mbl_text_init(&text, grid->alloc);
    mbl_grid_limit(r, &text);
    j->failed = j->failed || text.failed;
    json_t *value = json_string(mbl_text_get(&text));
    mbl_text_free(&text);
    return value;
}

/* By the name of each axis; one that is not UTF-8 is told as texts are. */
static json_t *options_object(mbl_json *j, const mbl_grid *grid, size_t row)
{
    json_t *o = json_object();
    for (size_t i = 0; i < grid->naxes; i++) {
        json_t *name = mbl_json_text(grid->axis[i].name);
        const char *label = grid->axis[i].label[mbl_grid_option(grid, row, i)];
        if (name == NULL)
            j->failed = true;
        else
            mbl_json_put(j, o, json_string_value(name), mbl_json_text(label));
        json_decref(name);
    }
    return o;
}

static json_t *row_object(mbl_json *j, const mbl_grid *grid, size_t row)
{
    size_t at = row - grid->first;
    const mbl_grid_row *r = &grid->row[at];
    bool ran = r->state == MBL_ROW_DONE;
    json_t *values = json_object();
    for (size_t i = 0; i < grid->ngauges; i++)
        if (!mbl_grid_is_closest(grid, i))
            mbl_json_put(j, values, mbl_gauge_at(grid->gauge[i]).name,
                         mbl_json_number(mbl_grid_value(grid, row, i)));
    json_t *o = json_object();
    mbl_json_put(j, o, "row", json_integer((json_int_t)row + 1));
    mbl_json_put(j, o, "options", options_object(j, grid, row));
    mbl_json_put(j, o, "verdict",
                 json_string(ran ? mbl_verdict_word(r->verdict) : MBL_GRID_FAILED));
    mbl_json_put(j, o, "mode", ran ? json_string(mbl_mode_word(r->mode)) : json_null());
    mbl_json_put(j, o, "limit", ran ? limit_string(j, grid, r) : json_null());
    mbl_json_put(j, o, "closest", ran ? mbl_json_number(r->closest) : json_null());
    mbl_json_put(j, o, "values", values);
    mbl_json_put(j, o, "reason", ran ? json_null() : mbl_json_text(grid->reason[at]));
    return o;
}

static int add_bytes(const char *bytes, size_t n, void *text)
{
    mbl_text_add(text, bytes, n);
    return 0; /* a failure stays with the text: the library loses some on the way */
}

/* The head without the brace that closes it. */
static void write_head(mbl_json *j, const mbl_grid *grid, FILE *stream)
{
    mbl_text text;
    mbl_text_init(&text, grid->alloc);
    json_t *head = head_object(j, grid);
    if (j->failed || json_dump_callback(head, add_bytes, &text, JSON_INDENT(2) | JSON_SORT_KEYS))
        j->failed = true;
    json_decref(head);
    j->failed = j->failed || text.failed;
    if (!j->failed)
        fwrite(text.data, 1, text.length - strlen("\n}"), stream);
    mbl_text_free(&text);
}

static void write_row(mbl_json *j, const mbl_grid *grid, size_t row, FILE *stream)
{
    json_t *o = row_object(j, grid, row);
    if (!j->failed && json_dumpf(o, stream, JSON_COMPACT | JSON_SORT_KEYS) != 0)
        j->failed = !ferror(stream);
    json_decref(o);
}

mbl_status mbl_out_grid_json(const mbl_grid *grid, const bool *keep, const char *path,
                             mbl_error *err)
{
    mbl_json j = {0};
    mbl_file file;
    MBL_TRY(mbl_file_begin(&file, path, err));
    write_head(&j, grid, file.stream);
    fputs(",\n  \"table\": [", file.stream);
    const char *before = "\n    ";
    for (size_t row = grid->first; row < grid->end && !j.failed; row++) {
        size_t at = row - grid->first;
        if (grid->row[at].state == MBL_ROW_OPEN || (keep != NULL && !keep[at]))
            continue;
        fputs(before, file.stream);
        before = ",\n    ";
        write_row(&j, grid, row, file.stream);
    }
    if (j.failed) {
        mbl_file_abandon(&file);
        return mbl_fail(err, MBL_MEMORY, "out of memory writing %s", path);
    }
    fputs("\n  ]\n}\n", file.stream);
    return mbl_file_commit(&file, err);
}
