/* SPDX-License-Identifier: MIT */
#include "base/base.h"
#include "support/test.h"
#include "support/test_alloc.h"

#include <sys/stat.h>
#include <unistd.h>

static void the_first_failure_wins(void **state)
{
    (void)state;
    mbl_error err = {0};
    assert_int_equal(mbl_fail(&err, MBL_INPUT, "mass is %d", 3), MBL_INPUT);
    assert_int_equal(mbl_fail(&err, MBL_FILE, "later"), MBL_FILE);
    assert_int_equal(err.status, MBL_INPUT);
    assert_string_equal(err.text, "mass is 3");
}

static void a_path_grows_from_the_inside_out(void **state)
{
    (void)state;
    mbl_error err = {0};
    (void)mbl_fail(&err, MBL_INPUT, "x");
    mbl_error_under(&err, "[2]");
    mbl_error_under(&err, "pistons");
    mbl_error_under(&err, "front");
    assert_string_equal(err.path, "front.pistons[2]");
}

static void numbers_are_plain_decimals_or_refused(void **state)
{
    (void)state;
    double v = 0;
    assert_true(mbl_number_read("-3.5e2", 6, &v));
    assert_near(v, -350.0, 0);
    assert_true(mbl_number_read(".5", 2, &v));
    assert_near(v, 0.5, 0);
    static const char *const bad[] = {"", "0x10", "inf", "nan", "1e999", "1 ", " 1", "1e", "-", ".", "1,5"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        assert_false(mbl_number_read(bad[i], strlen(bad[i]), &v));
}

static void a_number_written_reads_back_the_same(void **state)
{
    (void)state;
    static const double values[] = {0.1, 1.0 / 3.0, 1e300, -2.5, 273.15};
    for (size_t i = 0; i < sizeof values / sizeof values[0]; i++) {
        char out[32];
        double back = 0;
        mbl_number_write(values[i], out);
        assert_true(mbl_number_read(out, strlen(out), &back));
        assert_memory_equal(&back, &values[i], sizeof back);
    }
    static const struct {
        double value;
        const char *text;
    } plain[] = {{100, "100"},
                 {-60, "-60"},
                 {0.1, "0.1"},
                 {9.95, "9.95"}, /* 9.949999999999999 to 16 digits */
                 {1.0 / 3.0, "0.3333333333333333"},
                 {9007199254740993.0, "9007199254740992"}, /* the double there is */
                 {1e22, "1e+22"}};
    for (size_t i = 0; i < sizeof plain / sizeof plain[0]; i++) {
        char out[32];
        mbl_number_write(plain[i].value, out);
        assert_string_equal(out, plain[i].text);
    }
}

static void a_misspelt_name_finds_its_neighbour(void **state)
{
    (void)state;
    static const char *const names[] = {"diameter", "thickness", "ring_mass", "vanes"};
    assert_string_equal(mbl_nearest("diamater", names, 4), "diameter");
    assert_string_equal(mbl_nearest("ringmass", names, 4), "ring_mass");
    assert_string_equal(mbl_nearest("vnaes", names, 4), "vanes");
    assert_null(mbl_nearest("colour", names, 4));
}

static void an_arena_hands_out_zeroed_aligned_blocks(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    mbl_arena arena;
    mbl_arena_init(&arena, &t.alloc);
    for (size_t n = 1; n < 3000; n += 97) {
        unsigned char *p = mbl_arena_new(&arena, n, 3);
        assert_non_null(p);
        assert_int_equal((uintptr_t)p % 16, 0);
        for (size_t i = 0; i < n * 3; i++)
            assert_int_equal(p[i], 0);
        memset(p, 0xFF, n * 3);
    }
    assert_null(mbl_arena_new(&arena, SIZE_MAX / 2, 4));
    mbl_arena_free(&arena);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
}

static void text_survives_a_failed_allocation(void **state)
{
    (void)state;
    test_alloc t;
    test_alloc_init(&t);
    t.fail_at = 2;
    mbl_text text;
    mbl_text_init(&text, &t.alloc);
    mbl_text_print(&text, "lap %d", 7);
    for (int i = 0; i < 100; i++)
        mbl_text_add(&text, "0123456789", 10);
    assert_true(text.failed);
    assert_memory_equal(mbl_text_get(&text), "lap 7", 5);
    mbl_text_free(&text);
    assert_int_equal(t.live_bytes, 0);
    assert_int_equal(t.wrong_size, 0);
}

static void a_file_appears_whole_or_not_at_all(void **state)
{
    (void)state;
    char folder[] = "/tmp/mbl_base_XXXXXX";
    assert_non_null(mkdtemp(folder));
    char path[64];
    snprintf(path, sizeof path, "%s/out.csv", folder);
    mbl_error err = {0};
    mbl_file file;
    assert_ok(mbl_file_begin(&file, path, &err), err);
    fputs("one", file.stream);
    assert_int_equal(access(path, F_OK), -1);
    assert_ok(mbl_file_commit(&file, &err), err);

    assert_ok(mbl_file_begin(&file, path, &err), err);
    fputs("other", file.stream);
    mbl_file_abandon(&file);

    char *data = NULL;
    size_t size = 0;
    assert_ok(mbl_file_read(&mbl_alloc_libc, path, 100, &data, &size, &err), err);
    assert_int_equal(size, 3);
    assert_string_equal(data, "one");
    mbl_free(&mbl_alloc_libc, data, size + 1, 1);
    assert_int_equal(mbl_file_read(&mbl_alloc_libc, path, 2, &data, &size, &err), MBL_FILE);
    assert_has(err.text, "the most that is read is 2");
    err = (mbl_error){0};
    assert_int_equal(mbl_file_read(&mbl_alloc_libc, folder, 100, &data, &size, &err), MBL_FILE);
    assert_has(err.text, "is a folder");
    unlink(path);
    assert_int_equal(rmdir(folder), 0); /* no temporary file is left behind */
}

static void a_full_disk_is_an_error(void **state)
{
    (void)state;
    mbl_error err = {0};
    mbl_file file = {0};
    snprintf(file.path, sizeof file.path, "/tmp/mbl_never_made");
    snprintf(file.temporary, sizeof file.temporary, "/tmp/mbl_never_made.tmp");
    file.stream = fopen("/dev/full", "w");
    assert_non_null(file.stream);
    fputs("something", file.stream);
    assert_int_equal(mbl_file_commit(&file, &err), MBL_FILE);
    assert_has(err.text, "No space left");
    assert_int_equal(access(file.path, F_OK), -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_first_failure_wins),
        cmocka_unit_test(a_path_grows_from_the_inside_out),
        cmocka_unit_test(numbers_are_plain_decimals_or_refused),
        cmocka_unit_test(a_number_written_reads_back_the_same),
        cmocka_unit_test(a_misspelt_name_finds_its_neighbour),
        cmocka_unit_test(an_arena_hands_out_zeroed_aligned_blocks),
        cmocka_unit_test(text_survives_a_failed_allocation),
        cmocka_unit_test(a_file_appears_whole_or_not_at_all),
        cmocka_unit_test(a_full_disk_is_an_error),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
