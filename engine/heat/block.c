/* SPDX-License-Identifier: MIT */
#include "heat/block.h"

#include "heat/kernel.h"
#include "heat/processor.h"
#include "heat/single.h"

#include <math.h>
#include <stdint.h>
#include <string.h>

mbl_counts mbl_counts_of(const mbl_model *m)
{
    return (mbl_counts){1,
                        (size_t)m->nnodes,
                        (size_t)m->nlinks,
                        (size_t)m->ncontacts,
                        (size_t)m->npaths,
                        (size_t)m->elim->nslots,
                        (size_t)m->elim->nentries};
}

/* Bytes of one field, rounded up to a cache line so that every field starts on one. */
static size_t field_bytes(size_t count, int lanes)
{
    return (count * (size_t)lanes * sizeof(double) + 63) / 64 * 64;
}

static size_t buffer_bytes(const mbl_counts *n, int lanes)
{
    size_t bytes = 64; /* to align the first field */
#define ADD(field, count, unit, owner, about) bytes += field_bytes(n->count, lanes);
    MBL_BLOCK_FIELDS(ADD)
#undef ADD
    return bytes;
}

static void place_fields(mbl_block *b, const mbl_counts *n)
{
    unsigned char *at = b->buffer;
    at += (64 - (uintptr_t)at % 64) % 64;
#define PLACE(field, count, unit, owner, about)                                                    \
    b->field = (double *)(void *)at;                                                               \
    at += field_bytes(n->count, b->lanes);
    MBL_BLOCK_FIELDS(PLACE)
#undef PLACE
}

static void load_model(mbl_block *b, int w)
{
    const mbl_model *m = b->model[w];
    int W = b->lanes;
    b->law[w] = m->law;
    b->contact[w] = m->contact;
    b->ambient[w] = m->ambient;
    b->knee[w] = m->knee;
    b->cap[w] = MBL_NO_CAP;
    for (int i = 0; i < m->nnodes; i++)
        b->scale[i * W + w] = m->node[i].scale;
    for (int k = 0; k < m->nlinks; k++)
        b->value[k * W + w] = m->link[k].value;
    for (int c = 0; c < m->ncontacts; c++) {
        const mbl_contact *s = &m->contact[c];
        int at = c * W + w;
        b->gain[at] = s->gain;
        b->share[at] = s->share;
        b->slope[at] = s->slope;
        b->film_per_pascal[at] = s->film_per_pascal;
        b->gap_film[at] = s->gap_film;
        b->rotor_layer[at] = s->face.area * (1.0 + s->face.k_rotor / s->face.k_pad);
        b->pad_layer[at] = s->face.area * (1.0 + s->face.k_pad / s->face.k_rotor);
        b->rotor_half[at] = s->face.rotor_half;
        b->pad_half[at] = s->face.pad_half;
        for (int i = 0; i < s->pressure_effect.n; i++)
            b->pressure_matters = b->pressure_matters || s->pressure_effect.y[i] != 1.0;
        for (int i = 0; i < s->speed_effect.n; i++)
            b->speed_matters = b->speed_matters || s->speed_effect.y[i] != 1.0;
    }
}

static void start_lane(mbl_block *b, int w, double T)
{
    b->pressure[w] = 0;
    b->into[w] = 0;
    for (int i = 0; i < b->model[w]->nnodes; i++)
        b->rate[i * b->lanes + w] = 0;
    for (int i = 0; i < b->model[w]->nnodes; i++)
        mbl_block_set(b, w, i, T);
}

static int lanes_for(int used)
{
    if (used == 1)
        return MBL_LANES_ONE;
    if (used <= MBL_LANES_FOUR)
        return MBL_LANES_FOUR;
    return used <= MBL_LANES_EIGHT ? MBL_LANES_EIGHT : MBL_LANES_SIXTEEN;
}

static mbl_status make(const mbl_alloc *alloc, mbl_model *const models[], int used, int most,
                       mbl_block **out, mbl_error *err)
{
    if (used < 1 || used > most)
        return mbl_fail(err, MBL_INTERNAL, "a block has 1 to %d lanes, not %d", most, used);
    for (int w = 1; w < used; w++) {
        if (!mbl_model_same_shape(models[0], models[w]))
            return mbl_fail(err, MBL_INTERNAL, "lanes of one block need models of one shape");
    }
    mbl_counts n = mbl_counts_of(models[0]);
    mbl_block *b = mbl_new(alloc, 1, sizeof *b);
    if (b == NULL)
        return mbl_fail(err, MBL_MEMORY, "out of memory making a block");
    b->alloc = alloc;
    b->lanes = lanes_for(used);
    b->used = used;
    b->bytes = buffer_bytes(&n, b->lanes);
    b->buffer = mbl_new(alloc, 1, b->bytes);
    if (b->buffer == NULL) {
        mbl_free(alloc, b, 1, sizeof *b);
        return mbl_fail(err, MBL_MEMORY, "out of memory making a block");
    }
    place_fields(b, &n);
    for (int w = 0; w < b->lanes; w++) {
        /* lanes nobody asked for run the last model along, so that there is one code path */
        b->model[w] = mbl_model_keep(models[w < used ? w : used - 1]);
        load_model(b, w);
    }
    for (int w = 0; w < b->lanes; w++)
        start_lane(b, w, b->ambient[w]);
    *out = b;
    return MBL_OK;
}

mbl_status mbl_block_make(const mbl_alloc *alloc, mbl_model *const models[], int used,
                          mbl_block **out, mbl_error *err)
{
    return make(alloc, models, used, MBL_LANES_EIGHT, out, err);
}

mbl_status mbl_block_make_single(const mbl_alloc *alloc, mbl_model *const models[], int used,
                                 mbl_block **out, mbl_error *err)
{
    mbl_block *b = NULL;
    MBL_TRY(make(alloc, models, used, MBL_LANES_SIXTEEN, &b, err));
    mbl_status status = mbl_single_make(b, &b->single, err);
    if (status != MBL_OK) {
        mbl_block_free(b);
        return status;
    }
    *out = b;
    return MBL_OK;
}

void mbl_block_free(mbl_block *b)
{
    if (b == NULL)
        return;
    for (int w = 0; w < b->lanes; w++)
        mbl_model_drop(b->model[w]);
    mbl_single_free(b->single);
    mbl_free(b->alloc, b->buffer, 1, b->bytes);
    mbl_free(b->alloc, b, 1, sizeof *b);
}

static double total_enthalpy(const mbl_block *b, int w)
{
    double sum = 0;
    for (int i = 0; i < b->model[w]->nnodes; i++)
        sum += b->H[i * b->lanes + w];
    return sum;
}

void mbl_block_set(mbl_block *b, int w, int node, double T)
{
    const mbl_model *m = b->model[w];
    int at = node * b->lanes + w;
    double per_scale = m->node[node].iron ? mbl_iron_enthalpy(T) : T;
    b->H[at] = b->scale[at] * per_scale;
    b->T[at] = T;
    b->H_start[w] = total_enthalpy(b, w);
    b->heat[w] = 0;
    for (int p = 0; p < m->npaths; p++)
        b->lost[p * b->lanes + w] = 0;
    b->shortfall[w] = 0;
    for (int c = 0; c < m->ncontacts; c++) {
        b->work[c * b->lanes + w] = 0;
        b->strain[c * b->lanes + w] = 0;
        b->cycles[c * b->lanes + w] = 0;
        b->crack[c * b->lanes + w] = 0;
        b->worn[c * b->lanes + w] = 0;
    }
}

void mbl_block_start(mbl_block *b, double T)
{
    for (int w = 0; w < b->lanes; w++) {
        double cap = b->cap[w];
        load_model(b, w); /* what was worn off is back */
        b->cap[w] = cap;
        start_lane(b, w, T);
    }
}

void mbl_block_rescale(mbl_block *b, int w, int node, double scale, int path)
{
    int at = node * b->lanes + w;
    double H = b->H[at] * (scale / b->scale[at]);
    b->lost[path * b->lanes + w] += b->H[at] - H;
    b->H[at] = H;
    b->scale[at] = scale;
}

/* The fields that carry a lane on, in the order they are saved. */
#define SAVED(X)                                                                                   \
    X(H, nodes)                                                                                    \
    X(T, nodes)                                                                                    \
    X(scale, nodes)                                                                                \
    X(value, links)                                                                                \
    X(pad_half, contacts)                                                                          \
    X(pressure, one)                                                                               \
    X(into, one)                                                                                   \
    X(rate, nodes)                                                                                 \
    X(strain, contacts)                                                                            \
    X(cycles, contacts)                                                                            \
    X(crack, contacts)                                                                             \
    X(worn, contacts)                                                                              \
    X(work, contacts) X(shortfall, one) X(heat, one) X(lost, paths) X(H_start, one)

size_t mbl_block_state_size(const mbl_block *b)
{
    mbl_counts n = mbl_counts_of(b->model[0]);
    size_t size = 0;
#define ADD(field, count) size += n.count;
    SAVED(ADD)
#undef ADD
    return size;
}

void mbl_block_save(const mbl_block *b, int w, double *state)
{
    mbl_counts n = mbl_counts_of(b->model[0]);
#define SAVE(field, count)                                                                         \
    for (size_t i = 0; i < n.count; i++)                                                           \
        *state++ = b->field[i * (size_t)b->lanes + (size_t)w];
    SAVED(SAVE)
#undef SAVE
}

void mbl_block_load(mbl_block *b, int w, const double *state)
{
    mbl_counts n = mbl_counts_of(b->model[0]);
#define LOAD(field, count)                                                                         \
    for (size_t i = 0; i < n.count; i++)                                                           \
        b->field[i * (size_t)b->lanes + (size_t)w] = *state++;
    SAVED(LOAD)
#undef LOAD
}

void mbl_record_clear(const mbl_block *b, mbl_record *record, double now)
{
    size_t n = (size_t)b->model[0]->nnodes * (size_t)b->lanes;
    memcpy(record->peak, b->T, n * sizeof(double));
    for (size_t i = 0; i < n; i++)
        record->peak_at[i] = now;
    for (int k = 0; k < record->nwatches; k++) {
        mbl_watch *watch = &record->watch[k];
        watch->some = false;
        for (int w = 0; w < b->lanes; w++) {
            watch->T[w] = b->T[watch->node * b->lanes + w];
            watch->some = watch->some || watch->T[w] > watch->level[w];
        }
        for (int w = 0; w < MBL_LANES_MOST; w++) {
            watch->first[w] = NAN;
            watch->above[w] = 0;
        }
    }
    for (int k = 0; k < record->nspans; k++) {
        mbl_span *span = &record->span[k];
        for (int w = 0; w < b->lanes; w++) {
            span->peak[w] = b->T[span->hot * b->lanes + w] - b->T[span->cold * b->lanes + w];
            span->at[w] = now;
        }
    }
    if (record->hardest != NULL)
        *record->hardest = (mbl_hardest){0};
}

/* The kernel for this block on this processor. All of them give the same bits. */
static mbl_kernel_run *run_of(const mbl_block *b)
{
    switch (b->lanes) {
    case MBL_LANES_ONE:
        return mbl_kernel_run_1;
    case MBL_LANES_FOUR:
#ifdef MBL_HAVE_AVX2
        if (mbl_processor_avx2())
            return mbl_kernel_run_4_avx2;
#endif
        return mbl_kernel_run_4;
    case MBL_LANES_EIGHT:
#ifdef MBL_HAVE_AVX512
        if (mbl_processor_avx512())
            return mbl_kernel_run_8_avx512;
#endif
        return mbl_kernel_run_8;
    default:
#ifdef MBL_HAVE_AVX512
        if (mbl_processor_avx512())
            return mbl_kernel_run_16_avx512;
#endif
        return mbl_kernel_run_16;
    }
}

void mbl_block_run(mbl_block *b, const mbl_inputs *in, size_t first, size_t last,
                   mbl_record *record)
{
    run_of(b)(b, in, first, last, record);
}

void mbl_block_flows(mbl_block *b, double speed, double power, const double *source, double *flows)
{
    mbl_kernel_flows *const of[] = {
        [MBL_LANES_ONE] = mbl_kernel_flows_1,
        [MBL_LANES_FOUR] = mbl_kernel_flows_4,
        [MBL_LANES_EIGHT] = mbl_kernel_flows_8,
        [MBL_LANES_SIXTEEN] = mbl_kernel_flows_16,
    };
    of[b->lanes](b, speed, power, source);
    for (int i = 0; i < b->model[0]->nnodes; i++)
        flows[i] = b->q1[i * b->lanes];
}

bool mbl_block_finite(const mbl_block *b)
{
    int n = b->model[0]->nnodes * b->lanes;
    for (int i = 0; i < n; i++) {
        if (!isfinite(b->T[i]))
            return false;
    }
    return true;
}

double mbl_block_stored(const mbl_block *b, int w)
{
    return total_enthalpy(b, w) - b->H_start[w];
}

double mbl_block_residual(const mbl_block *b, int w)
{
    double lost = 0;
    for (int p = 0; p < b->model[w]->npaths; p++)
        lost += b->lost[p * b->lanes + w];
    double heat = b->heat[w];
    return heat > 0 ? (heat - mbl_block_stored(b, w) - lost) / heat : 0;
}
