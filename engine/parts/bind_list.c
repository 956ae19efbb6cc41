/* SPDX-License-Identifier: MIT */
#include "parts/bind.h"

#include "parts/say.h"

#include <stdio.h>

static mbl_status check_count(const mbl_field *field, size_t count, const char *noun,
                              mbl_error *err)
{
    size_t most = mbl_field_most(field);
    size_t least = field->least > 0 || field->kind == MBL_FIELD_ITEMS ? field->least : 1;
    if (count < least)
        return mbl_fail(err, MBL_INPUT, "needs at least %zu %s%s, has %zu", least, noun,
                        least == 1 ? "" : "s", count);
    if (count > most)
        return mbl_fail(err, MBL_INPUT, "takes at most %zu %s%s, has %zu", most, noun,
                        most == 1 ? "" : "s", count);
    return MBL_OK;
}

/* The list in a node: itself, or nothing in it when it is a script's empty table. */
static bool is_list(const mbl_node *raw)
{
    return raw->kind == MBL_NODE_LIST || (raw->kind == MBL_NODE_MAP && raw->bound == NULL &&
                                          raw->count == 0 && raw->positional == NULL);
}

mbl_status mbl_bind_list(const mbl_field *field, const mbl_node *raw, const char *noun,
                         mbl_bind_item item, mbl_node **bound, mbl_error *err)
{
    if (!is_list(raw) && field->kind == MBL_FIELD_NUMBERS)
        return mbl_bind_wrong(err, raw, "a list of values such as { %s }",
                              mbl_quantity_example(field->quantity));
    if (!is_list(raw))
        return mbl_bind_wrong(err, raw, "a list of %ss", noun);
    MBL_TRY(check_count(field, raw->count, noun, err));
    mbl_node *list = mbl_node_list(raw->alloc);
    if (list == NULL)
        return mbl_bind_memory(err);
    list->line = raw->line;
    list->column = raw->column;
    bool changed = raw->kind != MBL_NODE_LIST;
    for (size_t i = 0; i < raw->count; i++) {
        mbl_node *one = NULL;
        mbl_status status = item(field, raw->items[i], &one, err);
        if (status == MBL_OK && !mbl_node_append(list, one))
            status = mbl_bind_memory(err);
        if (status != MBL_OK) {
            char index[24];
            snprintf(index, sizeof index, "[%zu]", i + 1);
            mbl_error_at(err, NULL, raw->items[i]->line, raw->items[i]->column);
            mbl_error_under(err, index);
            mbl_node_drop(list);
            return status;
        }
        changed = changed || one != raw->items[i];
    }
    if (!changed) {
        mbl_node_drop(list);
        list = mbl_node_keep((mbl_node *)raw);
    }
    *bound = list;
    return MBL_OK;
}

static mbl_status bind_quantity(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                                mbl_error *err)
{
    double si = 0.0;
    MBL_TRY(mbl_bind_read(field, field->quantity, true, raw, &si, err));
    return mbl_bind_keep(raw, si, bound, err);
}

mbl_status mbl_bind_numbers(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                            mbl_error *err)
{
    return mbl_bind_list(field, raw, "value", bind_quantity, bound, err);
}

static mbl_status bind_pair(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                            mbl_error *err)
{
    if (raw->kind != MBL_NODE_LIST || raw->count != 2)
        return mbl_bind_wrong(err, raw, "a pair of a %s and a value, such as { 20, 0.4 }",
                              mbl_quantity_word(field->quantity));
    mbl_node *pair = mbl_node_list(raw->alloc);
    if (pair == NULL)
        return mbl_bind_memory(err);
    pair->line = raw->line;
    pair->column = raw->column;
    for (size_t i = 0; i < 2; i++) {
        double si = 0.0;
        mbl_node *one = NULL;
        mbl_quantity quantity = i == 0 ? field->quantity : MBL_Q_SHARE;
        mbl_status status = mbl_bind_read(field, quantity, i == 1, raw->items[i], &si, err);
        if (status == MBL_OK)
            status = mbl_bind_keep(raw->items[i], si, &one, err);
        if (status == MBL_OK && !mbl_node_append(pair, one))
            status = mbl_bind_memory(err);
        if (status != MBL_OK) {
            mbl_error_at(err, NULL, raw->items[i]->line, raw->items[i]->column);
            mbl_error_under(err, i == 0 ? "[1]" : "[2]");
            mbl_node_drop(pair);
            return status;
        }
    }
    if (pair->items[0] == raw->items[0] && pair->items[1] == raw->items[1]) {
        mbl_node_drop(pair);
        pair = mbl_node_keep((mbl_node *)raw);
    }
    *bound = pair;
    return MBL_OK;
}

mbl_status mbl_bind_curve(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                          mbl_error *err)
{
    mbl_node *list = NULL;
    if (mbl_bind_is_function(raw)) {
        mbl_node *pairs = NULL;
        MBL_TRY(mbl_bind_sample(field, raw, &pairs, err));
        mbl_status status = mbl_bind_curve(field, pairs, bound, err);
        if (status == MBL_OK)
            (*bound)->number = pairs->number; /* the error of sampling */
        mbl_node_drop(pairs);
        return status;
    }
    MBL_TRY(mbl_bind_list(field, raw, "pair", bind_pair, &list, err));
    for (size_t i = 1; i < list->count; i++) {
        double before = list->items[i - 1]->items[0]->number;
        double now = list->items[i]->items[0]->number;
        if (now > before)
            continue;
        char said_before[48];
        char said_now[48];
        char index[24];
        mbl_units_show(field->quantity, before, said_before);
        mbl_units_show(field->quantity, now, said_now);
        snprintf(index, sizeof index, "[%zu]", i + 1);
        (void)mbl_fail(err, MBL_INPUT,
                       "the first value must rise from pair to pair; %s comes after %s", said_now,
                       said_before);
        mbl_error_at(err, NULL, list->items[i]->line, list->items[i]->column);
        mbl_error_under(err, index);
        mbl_node_drop(list);
        return MBL_INPUT;
    }
    *bound = list;
    return MBL_OK;
}
