/* SPDX-License-Identifier: MIT */
/* First lines and lines of journals; what becomes of whole sweeps is in tests/sweep. */
#include "support/test.h"

#include "host/journal_head.h"
#include "host/lines.h"

#include <unistd.h>

/* ---- first lines ---- */

static const mbl_journal_head whole = {.version = "0.1.0",
                                       .rows = 60,
                                       .first = 0,
                                       .end = 60,
                                       .digest = "0123456789abcdef0123456789abcdef"};

static void expect_line(const mbl_journal_head *head, const char *line)
{
    mbl_text text;
    mbl_journal_head back;
    mbl_text_init(&text, &mbl_alloc_libc);
    mbl_journal_head_write(head, &text);
    assert_string_equal(mbl_text_get(&text), line);
    assert_true(mbl_journal_head_read(&back, line, strlen(line) - 1));
    assert_int_equal(back.rows, head->rows);
    assert_int_equal(back.end - back.first, head->end - head->first);
    assert_int_equal(back.part, head->part);
    assert_int_equal(back.parts, head->parts);
    if (head->first < head->end)
        assert_int_equal(back.first, head->first);
    assert_null(mbl_journal_head_differs(&back, head));
    mbl_text_free(&text);
}

static void a_first_line_reads_back(void **state)
{
    (void)state;
    mbl_journal_head part = whole;
    expect_line(&whole, "# emberlap 0.1.0 sweep of 60 rows, rows 1 to 60, digest "
                        "0123456789abcdef0123456789abcdef\n");
    part.first = 15;
    part.end = 22;
    part.part = 3;
    part.parts = 8;
    expect_line(&part, "# emberlap 0.1.0 sweep of 60 rows, part 3 of 8, rows 16 to 22, digest "
                       "0123456789abcdef0123456789abcdef\n");
    part.end = part.first;
    expect_line(&part, "# emberlap 0.1.0 sweep of 60 rows, part 3 of 8, no rows, digest "
                       "0123456789abcdef0123456789abcdef\n");
}

static void a_line_that_is_nearly_one_is_refused(void **state)
{
    (void)state;
    static const char *const lines[] = {
        "",
        "#",
        "row,bore,ring",
        "# emberlap 0.1.0 sweep of 60 rows",
        "# emberlap 0.1.0 sweep of 60 rows, rows 1 to 60, digest 0123",
        "# emberlap 0.1.0 sweep of 60 rows, rows 1 to 60, digest 0123456789abcdef0123456789abcdefa",
        "# emberlap 0.1.0 sweep of 60 rows, rows 1 to 60, digest 0123456789abcdef0123456789abcdeF",
        "# emberlap 0.1.0 sweep of 60 rows, rows 0 to 60, digest 0123456789abcdef0123456789abcdef",
        "# emberlap 0.1.0 sweep of 60 rows, rows 1 to 61, digest 0123456789abcdef0123456789abcdef",
        "# emberlap 0.1.0 sweep of 60 rows, rows 9 to 7, digest 0123456789abcdef0123456789abcdef",
        "# emberlap 0.1.0 sweep of 060 rows, rows 1 to 60, digest 0123456789abcdef0123456789abcdef",
        "# emberlap 0.1.0 sweep of  60 rows, rows 1 to 60, digest 0123456789abcdef0123456789abcdef",
        "# emberlap 0.1.0 sweep of -4 rows, rows 1 to 60, digest 0123456789abcdef0123456789abcdef",
        "# emberlap 0.1.0 sweep of 60 rows, part 9 of 8, rows 1 to 60, digest "
        "0123456789abcdef0123456789abcdef",
        "# emberlap 0.1.0 sweep of 60 rows, part 0 of 8, rows 1 to 60, digest "
        "0123456789abcdef0123456789abcdef",
    };
    mbl_journal_head head;
    for (size_t i = 0; i < sizeof lines / sizeof lines[0]; i++)
        if (mbl_journal_head_read(&head, lines[i], strlen(lines[i])))
            fail_msg("taken: %s", lines[i]);
}

/* ---- what the digest covers ---- */

typedef struct scene {
    mbl_host_options options;
    mbl_host host;
    mbl_grid grid;
    const char *args[3];
} scene;

static void set_up(scene *s, const char *label)
{
    const char *const bores[] = {"51 mm", label};
    mbl_error err = {0};
    *s = (scene){.options = {.alloc = &mbl_alloc_libc, .args = s->args}};
    s->host.options = &s->options;
    mbl_digest_start(&s->host.inputs);
    mbl_grid_init(&s->grid, &mbl_alloc_libc);
    assert_ok(mbl_grid_axis(&s->grid, "bore", 2, bores, &err), err);
    s->grid.gauge[s->grid.ngauges++] = mbl_gauge_find("front.fluid.margin");
    assert_ok(mbl_grid_open(&s->grid, 0, 2, &err), err);
}

static mbl_journal_head head_of(scene *s)
{
    mbl_journal_head head;
    mbl_journal_head_of(&s->host, &s->grid, &head);
    mbl_grid_free(&s->grid);
    return head;
}

static void the_digest_knows_what_decides_on_rows_and_no_more(void **state)
{
    (void)state;
    scene s;
    set_up(&s, "63 mm");
    mbl_journal_head first = head_of(&s);
    set_up(&s, "63 mm");
    s.options.out_dir = "elsewhere";
    s.options.units = MBL_UNITS_US;
    s.options.workers = 7;
    s.options.resume = true;
    s.options.part = 1;
    s.options.parts = 2;
    mbl_journal_head same = head_of(&s);
    assert_null(mbl_journal_head_differs(&first, &same));

    set_up(&s, "64 mm");
    mbl_journal_head label = head_of(&s);
    assert_non_null(mbl_journal_head_differs(&first, &label));
    set_up(&s, "63 mm");
    s.grid.gauge[0] = mbl_gauge_find("closest");
    mbl_journal_head measure = head_of(&s);
    assert_non_null(mbl_journal_head_differs(&first, &measure));
    set_up(&s, "63 mm");
    mbl_digest_add(&s.host.inputs, "x", 1);
    mbl_journal_head input = head_of(&s);
    assert_non_null(mbl_journal_head_differs(&first, &input));
    set_up(&s, "63 mm");
    s.args[s.options.nargs++] = "a=1";
    mbl_journal_head argument = head_of(&s);
    assert_non_null(mbl_journal_head_differs(&first, &argument));
}

/* el.args is a table: where a name came in the list is not in it, and of two the last counts. */
static void arguments_count_as_scripts_see_them(void **state)
{
    (void)state;
    scene s;
    set_up(&s, "63 mm");
    s.args[s.options.nargs++] = "a=1";
    s.args[s.options.nargs++] = "ab=2";
    mbl_journal_head first = head_of(&s);
    set_up(&s, "63 mm");
    s.args[s.options.nargs++] = "a=7";
    s.args[s.options.nargs++] = "ab=2";
    s.args[s.options.nargs++] = "a=1";
    mbl_journal_head again = head_of(&s);
    assert_null(mbl_journal_head_differs(&first, &again));
    set_up(&s, "63 mm");
    s.args[s.options.nargs++] = "a=2";
    s.args[s.options.nargs++] = "ab=1";
    mbl_journal_head other = head_of(&s);
    assert_non_null(mbl_journal_head_differs(&first, &other));
}

/* ---- lines ---- */

/* An open file of `n` bytes that has no name. */
static int file_of(const char *bytes, size_t n)
{
    char name[] = "/tmp/mbl_lines_XXXXXX";
    int fd = mkstemp(name);
    assert_true(fd >= 0);
    unlink(name);
    assert_int_equal(write(fd, bytes, n), n);
    return fd;
}

static void lines_come_whole_and_what_is_torn_stays(void **state)
{
    (void)state;
    const char *line;
    size_t n;
    mbl_lines lines;
    mbl_error err = {0};
    int fd = file_of("one\n\nth\0ree\ntorn", 16);
    mbl_lines_begin(&lines, &mbl_alloc_libc, fd, "x");
    assert_ok(mbl_lines_next(&lines, &line, &n, &err), err);
    assert_int_equal(n, 3);
    assert_memory_equal(line, "one", 3);
    assert_int_equal(mbl_lines_bytes(&lines), 4);
    assert_ok(mbl_lines_next(&lines, &line, &n, &err), err);
    assert_non_null(line);
    assert_int_equal(n, 0);
    assert_ok(mbl_lines_next(&lines, &line, &n, &err), err);
    assert_int_equal(n, 6);
    assert_memory_equal(line, "th\0ree", 6);
    for (int i = 0; i < 2; i++) {
        assert_ok(mbl_lines_next(&lines, &line, &n, &err), err);
        assert_null(line);
        assert_int_equal(mbl_lines_torn(&lines), 4);
        assert_int_equal(mbl_lines_bytes(&lines), 12);
    }
    mbl_lines_end(&lines);
    close(fd);
}

/* Lines of 1 to 2,999 letters: ends fall on every place of the buffer. */
static void lines_of_every_length_come_back(void **state)
{
    (void)state;
    mbl_text text;
    mbl_lines lines;
    const char *line;
    size_t n;
    mbl_error err = {0};
    char letters[3000];
    memset(letters, 'x', sizeof letters);
    mbl_text_init(&text, &mbl_alloc_libc);
    for (size_t k = 1; k < sizeof letters; k++) {
        mbl_text_add(&text, letters, k);
        mbl_text_add(&text, "\n", 1);
    }
    int fd = file_of(text.data, text.length);
    mbl_lines_begin(&lines, &mbl_alloc_libc, fd, "x");
    for (size_t k = 1; k < sizeof letters; k++) {
        assert_ok(mbl_lines_next(&lines, &line, &n, &err), err);
        assert_non_null(line);
        assert_int_equal(n, k);
        assert_memory_equal(line, letters, k);
    }
    assert_int_equal(mbl_lines_bytes(&lines), text.length);
    mbl_lines_end(&lines);
    mbl_text_free(&text);
    close(fd);
}

static void a_line_without_end_is_an_error_and_takes_no_more_memory_than_the_longest(void **state)
{
    (void)state;
    const char *line;
    size_t n;
    mbl_lines lines;
    mbl_error err = {0};
    int fd = file_of("", 0);
    assert_int_equal(ftruncate(fd, (off_t)(3 * MBL_LINES_LONGEST)), 0);
    mbl_lines_begin(&lines, &mbl_alloc_libc, fd, "zeros");
    assert_int_equal(mbl_lines_next(&lines, &line, &n, &err), MBL_FILE);
    assert_has(err.text, "zeros: line 1 has more than");
    assert_true(lines.room <= 2 * MBL_LINES_LONGEST);
    mbl_lines_end(&lines);
    close(fd);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_first_line_reads_back),
        cmocka_unit_test(a_line_that_is_nearly_one_is_refused),
        cmocka_unit_test(the_digest_knows_what_decides_on_rows_and_no_more),
        cmocka_unit_test(arguments_count_as_scripts_see_them),
        cmocka_unit_test(lines_come_whole_and_what_is_torn_stays),
        cmocka_unit_test(lines_of_every_length_come_back),
        cmocka_unit_test(a_line_without_end_is_an_error_and_takes_no_more_memory_than_the_longest),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
