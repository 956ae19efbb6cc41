/* SPDX-License-Identifier: MIT */
#include "parts/document.h"
#include "support/test.h"
#include "support/test_alloc.h"

#include <unistd.h>

static mbl_node *parse(const char *text)
{
    mbl_error err = {0};
    mbl_node *root = NULL;
    assert_ok(mbl_document_parse(&mbl_alloc_libc, "car.yaml", text, strlen(text), &root, &err),
              err);
    return root;
}

static const char CAR[] = "# a car\n"
                          "mass: 1420 kg\n"
                          "share: 0.54\n"
                          "quoted: \"12\"\n"
                          "abs: true\n"
                          "front:\n"
                          "  rotor: {diameter: 355 mm, master: 3/4 in}\n"
                          "  pistons: [38 mm, 34 mm]\n"
                          "  friction:\n"
                          "    - [20, 0.38]\n"
                          "    - [300, .48]\n";

static void a_document_becomes_a_tree_with_marks(void **state)
{
    (void)state;
    mbl_node *root = parse(CAR);
    assert_int_equal(root->kind, MBL_NODE_MAP);
    assert_string_equal(mbl_node_get(root, "mass")->text, "1420 kg");
    assert_int_equal(mbl_node_get(root, "share")->kind, MBL_NODE_NUMBER);
    assert_near(mbl_node_get(root, "share")->number, 0.54, 0);
    assert_false(mbl_node_get(root, "share")->si);
    assert_int_equal(mbl_node_get(root, "quoted")->kind, MBL_NODE_TEXT);
    assert_string_equal(mbl_node_get(root, "abs")->text, "true");
    const mbl_node *front = mbl_node_get(root, "front");
    const mbl_node *master = mbl_node_get(mbl_node_get(front, "rotor"), "master");
    assert_string_equal(master->text, "3/4 in");
    assert_int_equal(master->line, 7);
    assert_int_equal(master->column, 37);
    assert_int_equal(mbl_node_get(front, "pistons")->count, 2);
    const mbl_node *pair = mbl_node_get(front, "friction")->items[1];
    assert_near(pair->items[1]->number, 0.48, 0);
    assert_int_equal(pair->line, 11);
    assert_int_equal(pair->column, 7);
    mbl_node_drop(root);
}

static void a_byte_order_mark_is_passed_over(void **state)
{
    (void)state;
    mbl_node *root = parse("\xEF\xBB\xBFmass: 3\n");
    assert_near(mbl_node_get(root, "mass")->number, 3, 0);
    mbl_node_drop(root);
}

typedef struct refusal {
    const char *text;
    const char *says;
    int line, column;
} refusal;

static void what_is_not_read_is_refused_at_its_place(void **state)
{
    (void)state;
    static const refusal refusals[] = {
        {"", "empty", 1, 1},
        {"# only a comment\n", "empty", 1, 1},
        {"---\n...\n", "empty", 2, 1},
        {"a: &x 1\nb: 2\n", "anchor", 1, 4},
        {"a: 1\nb: *x\n", "alias", 2, 4},
        {"&k a: 1\n", "anchor", 1, 1},
        {"a: !!str 1\n", "tag", 1, 4},
        {"a: ! 1\n", "tag", 1, 4},
        {"%TAG ! tag:example.org,2000:\n---\na: 1\n", "tag directive", 1, 1},
        {"a: 1\n---\nb: 2\n", "second document", 2, 1},
        {"a: 1\nb: 2\na: 3\n", "the key \"a\" is here twice; the first is on line 1", 3, 1},
        {"? [a, b]\n: 1\n", "a key must be plain text", 1, 3},
        {"\"a\\0b\": 1\n", "a key must be plain text", 1, 1},
        {"'': 1\n", "a key must be plain text", 1, 1},
        {"a: [1, 2\nb: 3\n", "not valid YAML", 2, 2},
        {"a: 1\n\tb: 2\n", "not valid YAML", 2, 1},
        {"a: 1\nb: \xff\xfe\n", "not UTF-8", 2, 4},
        {"a: \xc3\xa9\xed\xa0\x80\n", "not UTF-8", 1, 5},
    };
    for (size_t i = 0; i < sizeof refusals / sizeof refusals[0]; i++) {
        mbl_error err = {0};
        mbl_node *root = NULL;
        const char *text = refusals[i].text;
        assert_int_equal(
            mbl_document_parse(&mbl_alloc_libc, "car.yaml", text, strlen(text), &root, &err),
            MBL_INPUT);
        assert_null(root);
        assert_has(err.text, refusals[i].says);
        assert_string_equal(err.file, "car.yaml");
        if (err.line != refusals[i].line || err.column != refusals[i].column)
            fail_msg("%s: at %d:%d, expected %d:%d", text, err.line, err.column, refusals[i].line,
                     refusals[i].column);
    }
}

static mbl_status parse_bytes(const char *bytes, size_t n, mbl_error *err)
{
    mbl_node *root = NULL;
    mbl_status status = mbl_document_parse(&mbl_alloc_libc, "big.yaml", bytes, n, &root, err);
    mbl_node_drop(root);
    return status;
}

static void sixty_four_levels_are_read_and_no_more(void **state)
{
    (void)state;
    char text[256];
    for (size_t depth = 64; depth <= 65; depth++) {
        memset(text, '[', depth);
        memset(text + depth, ']', depth);
        mbl_error err = {0};
        mbl_status status = parse_bytes(text, 2 * depth, &err);
        assert_int_equal(status, depth == 64 ? MBL_OK : MBL_INPUT);
        if (depth == 65)
            assert_has(err.text, "64 levels");
    }
}

/* A list of n items, each as `item` says. */
static char *long_list(const char *item, size_t n, size_t *size)
{
    size_t each = strlen(item);
    char *text = malloc(each * n + 2);
    assert_non_null(text);
    text[0] = '[';
    for (size_t i = 0; i < n; i++)
        memcpy(text + 1 + i * each, item, each);
    text[1 + n * each] = ']';
    *size = each * n + 2;
    return text;
}

static void a_hundred_thousand_nodes_are_read_and_no_more(void **state)
{
    (void)state;
    for (size_t n = 99999; n <= 100000; n++) { /* and the list itself */
        size_t size = 0;
        char *text = long_list("1,", n, &size);
        mbl_error err = {0};
        mbl_status status = parse_bytes(text, size, &err);
        free(text);
        assert_int_equal(status, n == 99999 ? MBL_OK : MBL_INPUT);
        if (n == 100000)
            assert_has(err.text, "more than 100000 values");
    }
}

static void four_mebibytes_are_read_and_no_more(void **state)
{
    (void)state;
    size_t most = (size_t)4 * 1024 * 1024;
    char *text = malloc(most + 1);
    assert_non_null(text);
    memset(text, '\n', most + 1);
    memcpy(text, "a: 1", 4);
    mbl_error err = {0};
    assert_ok(parse_bytes(text, most, &err), err);
    assert_int_equal(parse_bytes(text, most + 1, &err), MBL_INPUT);
    assert_has(err.text, "4194305 bytes; the most that is read is 4194304");
    free(text);
}

static void a_map_of_too_many_keys_is_refused(void **state)
{
    (void)state;
    mbl_text text;
    mbl_text_init(&text, &mbl_alloc_libc);
    for (int i = 4097; i > 0; i--)
        mbl_text_print(&text, "k%04d: 1\n", i);
    mbl_error err = {0};
    assert_int_equal(parse_bytes(mbl_text_get(&text), text.length, &err), MBL_INPUT);
    assert_has(err.text, "4096 keys");
    assert_int_equal(err.line, 4097);
    mbl_text_free(&text);
}

static void a_file_is_read_and_a_missing_one_named(void **state)
{
    (void)state;
    char path[] = "/tmp/mbl_document_XXXXXX";
    int fd = mkstemp(path);
    assert_true(fd >= 0);
    assert_int_equal(write(fd, "mass: 3\n", 8), 8);
    close(fd);
    mbl_error err = {0};
    mbl_node *root = NULL;
    assert_ok(mbl_document_read(&mbl_alloc_libc, path, &root, &err), err);
    assert_near(mbl_node_get(root, "mass")->number, 3, 0);
    mbl_node_drop(root);
    unlink(path);
    assert_int_equal(mbl_document_read(&mbl_alloc_libc, path, &root, &err), MBL_FILE);
    assert_has(err.text, path);
}

static void every_failed_allocation_leaves_nothing_behind(void **state)
{
    (void)state;
    size_t fails = 0;
    for (size_t k = 1;; k++) {
        test_alloc t;
        test_alloc_init(&t);
        t.fail_at = k;
        mbl_error err = {0};
        mbl_node *root = NULL;
        mbl_status status = mbl_document_parse(&t.alloc, "car.yaml", CAR, strlen(CAR), &root, &err);
        if (status == MBL_OK) {
            mbl_node_drop(root);
            assert_int_equal(t.live_bytes, 0);
            break;
        }
        fails++;
        assert_int_equal(status, MBL_MEMORY);
        assert_int_equal(err.status, MBL_MEMORY);
        assert_null(root);
        assert_int_equal(t.live_bytes, 0);
        assert_int_equal(t.wrong_size, 0);
    }
    assert_true(fails > 40); /* 19 nodes, 10 keys, the texts and the arrays */
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_document_becomes_a_tree_with_marks),
        cmocka_unit_test(a_byte_order_mark_is_passed_over),
        cmocka_unit_test(what_is_not_read_is_refused_at_its_place),
        cmocka_unit_test(sixty_four_levels_are_read_and_no_more),
        cmocka_unit_test(a_hundred_thousand_nodes_are_read_and_no_more),
        cmocka_unit_test(four_mebibytes_are_read_and_no_more),
        cmocka_unit_test(a_map_of_too_many_keys_is_refused),
        cmocka_unit_test(a_file_is_read_and_a_missing_one_named),
        cmocka_unit_test(every_failed_allocation_leaves_nothing_behind),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
