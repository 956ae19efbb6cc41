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

/* The test coupe on the trace, with stint and limits in YAML. Free with mbl_run_free. */
static inline mbl_run *told_run(mbl_trace *trace, const char *stint, const char *limits)
{
    mbl_error err = {0};
    mbl_node *map = mbl_node_map(&mbl_alloc_libc);
    assert_true(mbl_node_put(map, "car", told_bind(&mbl_car_schema, test_coupe_yaml)));
    assert_true(
        mbl_node_put(map, "course", told_bind(&mbl_course_schema, "{ file: session.csv }")));
    assert_true(mbl_node_put(map, "stint", told_bind(&mbl_stint_schema, stint)));
    assert_true(mbl_node_put(map, "limits", told_bind(&mbl_limits_schema, limits)));
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

#endif
