/* SPDX-License-Identifier: MIT */
#include "study/chunk.h"

#include <string.h>

void mbl_bench_init(mbl_bench *b, const mbl_alloc *alloc)
{
    memset(b, 0, sizeof *b);
    b->alloc = alloc;
    mbl_film_store_init(&b->films, alloc);
}

void mbl_bench_free(mbl_bench *b)
{
    for (int i = 0; i < MBL_ROUTES_KEPT; i++)
        mbl_route_drop(b->route[i].route);
    mbl_film_store_free(&b->films);
}

/* A row on its way: compiled, with the route it goes by. */
typedef struct rider {
    mbl_chunk_row *row;
    mbl_model *model; /* owned */
    mbl_route *route; /* one reference */
    bool driven;
} rider;

/* The route of this digest, kept or made; the one that was used longest ago makes room. */
static mbl_status find_route(mbl_bench *b, const mbl_case *setup, const mbl_road *road,
                             mbl_route **out, mbl_error *err)
{
    mbl_digest digest = mbl_route_digest(setup, road);
    mbl_kept_route *oldest = &b->route[0];
    b->turn++;
    for (int i = 0; i < MBL_ROUTES_KEPT; i++) {
        mbl_kept_route *k = &b->route[i];
        if (k->route != NULL && mbl_digest_same(&k->digest, &digest)) {
            k->used = b->turn;
            *out = mbl_route_keep(k->route);
            return MBL_OK;
        }
        if (k->used < oldest->used)
            oldest = k;
    }
    mbl_route *made = NULL;
    MBL_TRY(mbl_route_make(b->alloc, setup, road, &made, err));
    mbl_route_drop(oldest->route);
    *oldest = (mbl_kept_route){digest, made, b->turn};
    *out = mbl_route_keep(made);
    return MBL_OK;
}

static mbl_status compile(mbl_bench *b, const mbl_chunk_rule *rule, rider *r, mbl_error *err)
{
    mbl_run *run = r->row->run;
    mbl_road road;
    if (run->setup.course.trace == NULL)
        return mbl_fail(err, MBL_INTERNAL, "the course has no trace");
    MBL_TRY(mbl_drive_compile(b->alloc, &run->setup, &b->films, &r->model, err));
    MBL_TRY(mbl_road_of(b->alloc, &run->setup, rule->step, r->model, &road, err));
    bool bears = rule->kin != NULL && mbl_kin_macro(rule->kin) <= mbl_model_macro(r->model);
    if (mbl_road_strides(&road) && bears) {
        road.kin = *rule->kin;
        road.step = mbl_timeline_sample(road.mode, &road.kin, road.full);
    }
    MBL_TRY(find_route(b, &run->setup, &road, &r->route, err));
    return mbl_crew_prepare(run, r->route, r->model, err);
}

/* What is one row's own fault, and not the machine's. */
static bool of_row(mbl_status status)
{
    return status == MBL_INPUT || status == MBL_NUMERIC;
}

static mbl_status fail_row(mbl_chunk_row *row, mbl_status status, const mbl_error *why,
                           mbl_error *err)
{
    if (status == MBL_OK)
        return MBL_OK;
    if (!of_row(status)) {
        *err = *why;
        return status;
    }
    row->failed = true;
    row->why = *why;
    return MBL_OK;
}

/* Riders that go in one block with the first of them that was not driven yet. */
static int gather(rider riders[], int n, const mbl_chunk_rule *rule, rider *block[MBL_LANES_MOST])
{
    int used = 0;
    int lanes = 1;
    for (int i = 0; i < n && used < lanes; i++) {
        rider *r = &riders[i];
        if (r->row->failed || r->driven)
            continue;
        if (used == 0)
            lanes = r->route->road.mode == MBL_MODE_SCREENING ? rule->lanes_single : rule->lanes;
        if (used > 0 &&
            (r->route != block[0]->route || !mbl_model_same_shape(r->model, block[0]->model)))
            continue;
        block[used++] = r;
    }
    return used;
}

static mbl_status drive_block(const mbl_bench *b, rider *const block[], int used, mbl_error *err)
{
    mbl_watch watch[MBL_WATCHES] = {0};
    mbl_crew crew = {.n = used};
    const mbl_case *setup[MBL_LANES_MOST];
    mbl_model *model[MBL_LANES_MOST];
    mbl_drive *d = NULL;
    for (int w = 0; w < used; w++) {
        crew.run[w] = block[w]->row->run;
        setup[w] = &crew.run[w]->setup;
        model[w] = block[w]->model;
        mbl_checks_watch(setup[w], w, watch);
        block[w]->driven = true;
    }
    MBL_TRY(mbl_drive_lanes(b->alloc, used, setup, model, block[0]->route, watch, MBL_WATCHES, &d,
                            err));
    mbl_error drive = {0};
    mbl_status status = mbl_crew_drive(&crew, d, watch, NULL, &drive);
    if (status == MBL_NUMERIC)
        status = MBL_OK; /* of the only lane: looked at below, as among neighbours */
    else if (status != MBL_OK)
        *err = drive;
    bool all = true;
    for (int w = 0; w < used && status == MBL_OK; w++) {
        mbl_error why = {0};
        if (mbl_drive_finite(d, w))
            continue;
        all = used > 1;
        status =
            fail_row(block[w]->row,
                     mbl_fail(&why, MBL_NUMERIC, "a temperature is no longer finite"), &why, err);
    }
    if (status == MBL_OK && all)
        status = mbl_crew_judge(&crew, err);
    mbl_drive_free(d);
    return status;
}

mbl_status mbl_chunk_work(mbl_bench *bench, const mbl_chunk_rule *rule, mbl_chunk *chunk,
                          mbl_error *err)
{
    rider riders[MBL_CHUNK_ROWS] = {0};
    mbl_status status = MBL_OK;
    for (int i = 0; i < chunk->n && status == MBL_OK; i++) {
        mbl_error why = {0};
        riders[i].row = &chunk->row[i];
        if (!chunk->row[i].failed)
            status = fail_row(&chunk->row[i], compile(bench, rule, &riders[i], &why), &why, err);
    }
    while (status == MBL_OK) {
        rider *block[MBL_LANES_MOST];
        int used = gather(riders, chunk->n, rule, block);
        if (used == 0)
            break;
        status = drive_block(bench, block, used, err);
    }
    for (int i = 0; i < chunk->n; i++) {
        mbl_model_drop(riders[i].model);
        mbl_route_drop(riders[i].route);
    }
    return status;
}
