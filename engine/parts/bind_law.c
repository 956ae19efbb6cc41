/* SPDX-License-Identifier: MIT */
/* Functions become tables when they are bound, and how far off the table is between is kept. */
#include "parts/bind.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

bool mbl_bind_is_function(const mbl_node *raw)
{
    return raw->kind == MBL_NODE_HANDLE && raw->text != NULL &&
           strcmp(raw->text, MBL_FUNCTION_TAG) == 0;
}

static double bare(mbl_quantity quantity, double si)
{
    return quantity == MBL_Q_LEVEL ? si - 273.15 : si;
}

/* Evaluates, and says at which value it went wrong. */
static mbl_status call(const mbl_node *raw, const double *x, int n, double *y, mbl_error *err)
{
    const mbl_function *f = raw->object;
    mbl_error inner = {0};
    mbl_status status = f->at(f->ctx, x, n, y, &inner);
    if (status == MBL_OK && !isfinite(*y)) {
        status = MBL_INPUT;
        (void)mbl_fail(&inner, status, "gives no finite number");
    }
    if (status == MBL_OK)
        return MBL_OK;
    if (n == 1)
        return mbl_fail(err, status, "the function at %.6g: %s", x[0], inner.text);
    return mbl_fail(err, status, "the function at %.6g, %.6g: %s", x[0], x[1], inner.text);
}

static bool append_pair(mbl_node *list, double x, double y)
{
    mbl_node *pair = mbl_node_list(list->alloc);
    if (pair == NULL)
        return false;
    mbl_node *first = mbl_node_number(list->alloc, x);
    mbl_node *second = mbl_node_number(list->alloc, y);
    bool good = first != NULL && mbl_node_append(pair, first);
    if (!good || second == NULL || !mbl_node_append(pair, second)) {
        if (!good)
            mbl_node_drop(second);
        mbl_node_drop(pair);
        return false;
    }
    return mbl_node_append(list, pair);
}

mbl_status mbl_bind_sample(const mbl_field *field, const mbl_node *raw, mbl_node **made,
                           mbl_error *err)
{
    mbl_node *list = mbl_node_list(raw->alloc);
    if (list == NULL)
        return mbl_bind_memory(err);
    double low = bare(field->quantity, field->x_lo);
    double step = (bare(field->quantity, field->x_hi) - low) / (MBL_CURVE_MAX - 1);
    double before = 0;
    mbl_status status = MBL_OK;
    for (int i = 0; i < MBL_CURVE_MAX && status == MBL_OK; i++) {
        double x = low + step * i;
        double y = 0;
        status = call(raw, &x, 1, &y, err);
        if (status == MBL_OK && !append_pair(list, x, y))
            status = mbl_bind_memory(err);
        if (status == MBL_OK && i > 0) {
            double between = x - 0.5 * step;
            double there = 0;
            status = call(raw, &between, 1, &there, err);
            list->number = fmax(list->number, fabs(there - 0.5 * (before + y)));
        }
        before = y;
    }
    if (status != MBL_OK) {
        mbl_node_drop(list);
        return status;
    }
    *made = list;
    return MBL_OK;
}

static void release_samples(void *object)
{
    mbl_film_samples *samples = object;
    mbl_free(samples->alloc, samples, 1, sizeof *samples);
}

/* h at a speed (m/s) and temperature (K), within the field's range. */
static mbl_status film_at(const mbl_field *field, const mbl_node *raw, double speed, double T,
                          double *h, mbl_error *err)
{
    if (raw->kind == MBL_NODE_NUMBER || raw->kind == MBL_NODE_TEXT)
        return mbl_bind_read(field, MBL_Q_FILM, true, raw, h, err);
    const double x[] = {speed, T - 273.15};
    MBL_TRY(call(raw, x, 2, h, err));
    if (*h < field->lo || *h > field->hi)
        return mbl_fail(err, MBL_INPUT,
                        "the function at %.6g m/s, %.6g C gives %.6g W/m2K, outside "
                        "%.6g to %.6g",
                        x[0], x[1], *h, field->lo, field->hi);
    return MBL_OK;
}

static mbl_status sample_film(const mbl_field *field, const mbl_node *raw, mbl_film_samples *out,
                              mbl_error *err)
{
    for (int i = 0; i < MBL_FILM_SPEEDS; i++) {
        for (int j = 0; j < MBL_FILM_LEVELS; j++) {
            double speed = MBL_FILM_SPEED_STEP * i;
            double T = MBL_FILM_LEVEL_0 + MBL_FILM_LEVEL_STEP * j;
            double *h = &out->h[j * MBL_FILM_SPEEDS + i];
            MBL_TRY(film_at(field, raw, speed, T, h, err));
            if (i == 0 || j == 0)
                continue;
            double there = 0;
            MBL_TRY(film_at(field, raw, speed - 0.5 * MBL_FILM_SPEED_STEP,
                            T - 0.5 * MBL_FILM_LEVEL_STEP, &there, err));
            const double *last = h - MBL_FILM_SPEEDS;
            double mean = 0.25 * (h[0] + h[-1] + last[0] + last[-1]);
            out->error = fmax(out->error, fabs(there - mean));
        }
    }
    return MBL_OK;
}

mbl_status mbl_bind_film(const mbl_field *field, const mbl_node *raw, mbl_node **bound,
                         mbl_error *err)
{
    bool sampled = raw->kind == MBL_NODE_HANDLE && strcmp(raw->text, "film samples") == 0;
    if (sampled) {
        *bound = mbl_node_keep((mbl_node *)raw);
        return MBL_OK;
    }
    if (!mbl_bind_is_function(raw) && raw->kind != MBL_NODE_NUMBER && raw->kind != MBL_NODE_TEXT)
        return mbl_bind_wrong(err, raw,
                              "a function of speed (m/s) and temperature (C), or one "
                              "heat transfer coefficient");
    mbl_film_samples *samples = mbl_new(raw->alloc, 1, sizeof *samples);
    if (samples == NULL)
        return mbl_bind_memory(err);
    samples->alloc = raw->alloc;
    mbl_status status = sample_film(field, raw, samples, err);
    mbl_node *node = NULL;
    if (status == MBL_OK) {
        node = mbl_node_handle(raw->alloc, "film samples", samples, release_samples);
        status = node != NULL ? MBL_OK : mbl_bind_memory(err);
    }
    if (status != MBL_OK) {
        release_samples(samples);
        return status;
    }
    *bound = node;
    return MBL_OK;
}
