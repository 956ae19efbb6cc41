/* SPDX-License-Identifier: MIT */
#include "parts/node.h"
#include "support/test.h"
#include "support/test_alloc.h"

static int released;

static void count_release(void *object)
{
    (void)object;
    released++;
}

static mbl_node *text(const mbl_alloc *a, const char *t)
{
    return mbl_node_text(a, t, strlen(t));
}

/* { mass = 1, front = { rotor = { ring = 7, hat = 1 }, pad = "grey" }, list = { 5 } } or NULL */
static mbl_node *build_car(const mbl_alloc *a)
{
    mbl_node *car = mbl_node_map(a);
    mbl_node *front = mbl_node_map(a);
    mbl_node *rotor = mbl_node_map(a);
    mbl_node *list = mbl_node_list(a);
    bool good = car != NULL && front != NULL && rotor != NULL && list != NULL;
    good = good && mbl_node_put(rotor, "ring", mbl_node_number(a, 7.0));
    good = good && mbl_node_put(rotor, "hat", mbl_node_number(a, 1.0));
    good = good && mbl_node_put(front, "pad", text(a, "grey"));
    good = good && mbl_node_append(list, mbl_node_number(a, 5.0));
    good = good && mbl_node_put(car, "mass", mbl_node_number(a, 1.0));
    if (good) {
        good = mbl_node_put(front, "rotor", rotor);
        rotor = NULL;
    }
    if (good) {
        good = mbl_node_put(car, "front", front);
        front = NULL;
    }
    if (good) {
        good = mbl_node_put(car, "list", list);
        list = NULL;
    }
    mbl_node_drop(rotor);
    mbl_node_drop(front);
    mbl_node_drop(list);
    if (!good) {
        mbl_node_drop(car);
        return NULL;
    }
    return car;
}

/* { front = { rotor = { ring = 9 }, pad = none }, added = { gone = none, kept = 3 } } or NULL */
static mbl_node *build_patch(const mbl_alloc *a)
{
    mbl_node *patch = mbl_node_map(a);
    mbl_node *front = mbl_node_map(a);
    mbl_node *rotor = mbl_node_map(a);
    mbl_node *added = mbl_node_map(a);
    bool good = patch != NULL && front != NULL && rotor != NULL && added != NULL;
    good = good && mbl_node_put(rotor, "ring", mbl_node_number(a, 9.0));
    good = good && mbl_node_put(front, "pad", mbl_node_none(a));
    good = good && mbl_node_put(added, "gone", mbl_node_none(a));
    good = good && mbl_node_put(added, "kept", mbl_node_number(a, 3.0));
    if (good) {
        good = mbl_node_put(front, "rotor", rotor);
        rotor = NULL;
    }
    if (good) {
        good = mbl_node_put(patch, "front", front);
        front = NULL;
    }
    if (good) {
        good = mbl_node_put(patch, "added", added);
        added = NULL;
    }
    mbl_node_drop(rotor);
    mbl_node_drop(front);
    mbl_node_drop(added);
    if (!good) {
        mbl_node_drop(patch);
        return NULL;
    }
    return patch;
}

static void keys_are_sorted_and_each_is_there_once(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    mbl_node *map = mbl_node_map(&t.alloc);
    static const char *const keys[] = {"m", "b", "z", "a", "y", "c", "x"};
    for (int i = 0; i < 7; i++)
        assert_true(mbl_node_put(map, keys[i], mbl_node_number(&t.alloc, i)));
    assert_false(mbl_node_put(map, "z", mbl_node_number(&t.alloc, 99)));
    assert_int_equal(map->count, 7);
    for (size_t i = 1; i < map->count; i++)
        assert_true(strcmp(map->keys[i - 1], map->keys[i]) < 0);
    assert_near(mbl_node_get(map, "z")->number, 2.0, 0);
    assert_near(mbl_node_get(map, "a")->number, 3.0, 0);
    assert_null(mbl_node_get(map, "q"));
    assert_null(mbl_node_get(NULL, "q"));
    mbl_node_drop(map);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
}

static void text_with_zero_bytes_keeps_its_length(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    mbl_node *node = mbl_node_text(&t.alloc, "a\0b", 3);
    assert_int_equal(node->count, 3);
    assert_memory_equal(node->text, "a\0b", 4);
    mbl_node_drop(node);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
}

static void a_handle_is_released_with_the_last_reference(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    int object = 0;
    released = 0;
    mbl_node *node = mbl_node_handle(&t.alloc, "law", &object, count_release);
    assert_ptr_equal(mbl_node_keep(node), node);
    mbl_node_drop(node);
    assert_int_equal(released, 0);
    mbl_node_drop(node);
    assert_int_equal(released, 1);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
}

static void only_none_is_none(void **state)
{
    (void)state;
    const mbl_alloc *a = &mbl_alloc_libc;
    mbl_node *none = mbl_node_none(a);
    mbl_node *word = text(a, "none");
    assert_true(mbl_node_is_none(none));
    assert_false(mbl_node_is_none(word));
    assert_false(mbl_node_is_none(NULL));
    mbl_node_drop(none);
    mbl_node_drop(word);
}

static void a_merge_changes_only_the_path_it_names(void **state)
{
    (void)state;
    static const struct mbl_schema *const seen = (const void *)"seen";
    test_alloc t;
    test_alloc_init(&t);
    mbl_node *car = build_car(&t.alloc);
    mbl_node *patch = build_patch(&t.alloc);
    car->bound = seen;
    mbl_node *merged = mbl_node_merge(car, patch);
    assert_non_null(merged);
    assert_null(merged->bound);
    const mbl_node *front = mbl_node_get(merged, "front");
    assert_near(mbl_node_get(mbl_node_get(front, "rotor"), "ring")->number, 9.0, 0);
    assert_near(mbl_node_get(mbl_node_get(front, "rotor"), "hat")->number, 1.0, 0);
    assert_null(mbl_node_get(front, "pad"));
    assert_ptr_equal(mbl_node_get(merged, "list"), mbl_node_get(car, "list"));
    assert_ptr_equal(mbl_node_get(merged, "mass"), mbl_node_get(car, "mass"));
    /* none does not stay behind in a branch that is new */
    assert_int_equal(mbl_node_get(merged, "added")->count, 1);
    /* the original is as it was */
    const mbl_node *before = mbl_node_get(mbl_node_get(car, "front"), "rotor");
    assert_near(mbl_node_get(before, "ring")->number, 7.0, 0);
    assert_ptr_equal(car->bound, seen);
    mbl_node_drop(car);
    mbl_node_drop(patch);
    assert_near(mbl_node_get(merged, "mass")->number, 1.0, 0);
    mbl_node_drop(merged);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
}

static void a_patch_that_changes_nothing_gives_the_base_itself(void **state)
{
    (void)state;
    const mbl_alloc *a = &mbl_alloc_libc;
    mbl_node *car = build_car(a);
    mbl_node *patch = mbl_node_map(a);
    assert_true(mbl_node_put(patch, "wing", mbl_node_none(a)));
    assert_true(mbl_node_put(patch, "front", mbl_node_map(a)));
    mbl_node *merged = mbl_node_merge(car, patch);
    assert_ptr_equal(merged, car);
    mbl_node_drop(merged);
    mbl_node_drop(patch);
    mbl_node_drop(car);
}

static void lists_and_bound_maps_replace(void **state)
{
    (void)state;
    static const struct mbl_schema *const seen = (const void *)"seen";
    const mbl_alloc *a = &mbl_alloc_libc;
    mbl_node *car = build_car(a);
    mbl_node *patch = mbl_node_map(a);
    mbl_node *front = mbl_node_map(a);
    front->bound = seen;
    assert_true(mbl_node_put(patch, "front", front));
    assert_true(mbl_node_put(patch, "list", mbl_node_list(a)));
    mbl_node *merged = mbl_node_merge(car, patch);
    assert_ptr_equal(mbl_node_get(merged, "front"), front);
    assert_int_equal(mbl_node_get(merged, "list")->count, 0);
    mbl_node_drop(merged);
    mbl_node_drop(patch);
    mbl_node_drop(car);
}

static void a_list_on_a_table_with_a_list_part_replaces_that_part(void **state)
{
    (void)state;
    const mbl_alloc *a = &mbl_alloc_libc;
    mbl_node *stint = mbl_node_map(a);
    assert_true(mbl_node_put(stint, "ambient", mbl_node_number(a, 32.0)));
    stint->positional = mbl_node_list(a);
    assert_true(mbl_node_append(stint->positional, text(a, "out")));
    mbl_node *patch = mbl_node_list(a);
    assert_true(mbl_node_append(patch, text(a, "hot")));
    assert_true(mbl_node_append(patch, text(a, "in")));
    mbl_node *merged = mbl_node_merge(stint, patch);
    assert_near(mbl_node_get(merged, "ambient")->number, 32.0, 0);
    assert_int_equal(merged->positional->count, 2);
    assert_int_equal(stint->positional->count, 1);
    mbl_node_drop(merged);
    mbl_node_drop(patch);
    mbl_node_drop(stint);
}

static void every_failed_allocation_leaves_nothing_behind(void **state)
{
    (void)state;
    size_t fails = 0;
    for (size_t k = 1;; k++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = k;
        mbl_node *car = build_car(&t.alloc);
        mbl_node *patch = build_patch(&t.alloc);
        mbl_node *merged = car != NULL && patch != NULL ? mbl_node_merge(car, patch) : NULL;
        bool done = merged != NULL && t.calls < k;
        if (merged == NULL)
            fails++;
        mbl_node_drop(car);
        mbl_node_drop(patch);
        mbl_node_drop(merged);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
        if (done)
            break;
        assert_true(k < 1000);
    }
    /* 10 maps, lists and leaves at the least, each of one allocation or more */
    assert_true(fails > 40);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(keys_are_sorted_and_each_is_there_once),
        cmocka_unit_test(text_with_zero_bytes_keeps_its_length),
        cmocka_unit_test(a_handle_is_released_with_the_last_reference),
        cmocka_unit_test(only_none_is_none),
        cmocka_unit_test(a_merge_changes_only_the_path_it_names),
        cmocka_unit_test(a_patch_that_changes_nothing_gives_the_base_itself),
        cmocka_unit_test(lists_and_bound_maps_replace),
        cmocka_unit_test(a_list_on_a_table_with_a_list_part_replaces_that_part),
        cmocka_unit_test(every_failed_allocation_leaves_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
