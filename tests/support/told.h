/* SPDX-License-Identifier: MIT */
/* A run with its tree, so that given, default and inferred values are known. */
#ifndef MBL_TESTS_TOLD_H
#define MBL_TESTS_TOLD_H

#include "support/coupe.h"
#include "support/session.h"
#include "support/test.h"

static inline mbl_node *told_bind(const mbl_schema *schema, const char *yaml)
{
    mbl_error err = {0};
    mbl_node *raw = NULL;
    mbl_node *bound = NULL;
    assert_ok(mbl_document_parse(&mbl_alloc_libc, "test", yaml, strlen(yaml), &raw, &err), err);
    assert_ok(mbl_bind(schema, raw, &bound, &err), err);
    mbl_node_drop(raw);
    return bound;
}

/* The test coupe with changes in YAML merged in; bound. */
static inline mbl_node *told_car(const char *changes)
{
    mbl_error err = {0};
    mbl_node *raw = NULL;
    mbl_node *bound = NULL;
    mbl_node *coupe = told_bind(&mbl_car_schema, test_coupe_yaml);
    assert_ok(mbl_document_parse(&mbl_alloc_libc, "test", changes, strlen(changes), &raw, &err),
              err);
    mbl_node *merged = mbl_node_merge(coupe, raw);
    assert_non_null(merged);
    assert_ok(mbl_bind(&mbl_car_schema, merged, &bound, &err), err);
    mbl_node_drop(merged);
    mbl_node_drop(raw);
    mbl_node_drop(coupe);
    return bound;
}

/* What a told run is made of; YAML each, NULL for nothing given. */
typedef struct told {
    const char *changes; /* of the coupe */
    const char *stint, *limits, *event;
    const char *base; /* changes of the coupe that make the car before */
} told;

/* Runs it on the trace. Free with mbl_run_free. */
static inline mbl_run *told_run_of(mbl_trace *trace, const told *t)
{
    mbl_error err = {0};
    mbl_node *map = mbl_node_map(&mbl_alloc_libc);
    assert_true(mbl_node_put(map, "car", told_car(t->changes != NULL ? t->changes : "{}")));
    assert_true(
        mbl_node_put(map, "course", told_bind(&mbl_course_schema, "{ file: session.csv }")));
    assert_true(mbl_node_put(map, "stint", told_bind(&mbl_stint_schema, t->stint)));
    if (t->limits != NULL)
        assert_true(mbl_node_put(map, "limits", told_bind(&mbl_limits_schema, t->limits)));
    if (t->event != NULL)
        assert_true(mbl_node_put(map, "event", told_bind(&mbl_event_schema, t->event)));
    if (t->base != NULL)
        assert_true(mbl_node_put(map, "base", told_car(t->base)));
    mbl_node *tree = NULL;
    assert_ok(mbl_bind(&mbl_case_schema, map, &tree, &err), err);
    mbl_node_drop(map);
    mbl_case setup;
    mbl_extract(&mbl_case_schema, tree, &setup);
    setup.course.trace = trace;
    mbl_run *run = NULL;
    assert_ok(mbl_run_make(&mbl_alloc_libc, &setup, tree, 0, &run, &err), err);
    mbl_node_drop(tree);
    return run;
}

/* The test coupe on the trace, with stint and limits in YAML. Free with mbl_run_free. */
static inline mbl_run *told_run(mbl_trace *trace, const char *stint, const char *limits)
{
    return told_run_of(trace, &(told){.stint = stint, .limits = limits});
}

#endif
