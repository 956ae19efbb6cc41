/* SPDX-License-Identifier: MIT */
#include "road/csv.h"
#include "support/test.h"

static mbl_csv_cell cell(const char *text)
{
    return (mbl_csv_cell){text, strlen(text)};
}

static void assert_sniffed(const char *text, char delimiter, char decimal)
{
    char d = 0;
    char m = 0;
    mbl_csv_sniff(text, strlen(text), &d, &m);
    if (d != delimiter || m != decimal)
        fail_msg("'%c' and '%c' for: %s", d, m, text);
}

static void delimiter_and_decimal_mark_are_found_together(void **state)
{
    (void)state;
    assert_sniffed("a,b\n12.5,13.0\n", ',', '.');
    assert_sniffed("a;b\n12,5;13,0\n", ';', ',');
    assert_sniffed("a\tb\n12,5\t13,0\n", '\t', ',');
    assert_sniffed("a;b\n12.5;13.0\n", ';', '.');
    assert_sniffed("a,b\n\"12,5\",\"13,0\"\n", ',', ',');
    assert_sniffed("a;b\n1.234,5;0,1\n", ';', ',');
    assert_sniffed("a;b\n1,234.5;0.1\n", ';', '.');
    assert_sniffed("a;b\n12;13\n", ';', '.');
    assert_sniffed("a,b\n", ',', '.');
    assert_sniffed("", ',', '.');
    assert_sniffed("a b\n12,5 13,0\n", ' ', ',');
    assert_sniffed("a, b\n12, 13\n", ',', '.');
    assert_sniffed("t,n,v\n0.1,lap 2,5\n", ',', '.');
    assert_sniffed("t, v\n2031-05-04 10:00:00, 13\n", ',', '.');
    /* three decimals alone are no proof, 0,125 is */
    assert_sniffed("a;b\n1,234;2,345\n", ';', '.');
    assert_sniffed("a;b\n1,234;0,125\n", ';', ',');
    /* stamps are values, words are not */
    assert_sniffed("t;n;v\n0:00:01,5;speed, of the car;12\n0:00:02,5;lap, count;3\n", ';', '.');
    /* a preamble with commas above few rows with semicolons */
    assert_sniffed("x,a\ny,b\nz,c\nw,d\n0,5;1,5\n1,0;2,5\n", ';', ',');
}

static void thousands_are_read_where_they_are_certain(void **state)
{
    (void)state;
    static const struct {
        const char *text;
        char decimal;
        double value;
    } good[] = {
        {"1.234,5", ',', 1234.5},
        {"-1.234.567,25", ',', -1234567.25},
        {"1.234.567", ',', 1234567},
        {"1,234.5", '.', 1234.5},
        {"12,345,678", '.', 12345678},
        {"12,5", ',', 12.5},
        {",5", ',', 0.5},
        {"5,", ',', 5},
        {"1,5e3", ',', 1500},
        {"999,999.", '.', 999999.0},
    };
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        double value = 0;
        if (!mbl_csv_number(cell(good[i].text), good[i].decimal, &value))
            fail_msg("\"%s\" is not read", good[i].text);
        assert_near(value, good[i].value, 0);
    }
    static const char *const bad[] = {"1.234",      "1.23,5",  "1234.567,8", "0.123,4",  ".123,4",
                                      "1.234.56",   "1..2",    "1.234,5,6",  "1.2345,6", "12.5",
                                      "1.234.567e", "-.123,4", "1.234e2"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        double value = 0;
        if (mbl_csv_number(cell(bad[i]), ',', &value))
            fail_msg("\"%s\" is read as %g", bad[i], value);
    }
    assert_true(mbl_csv_other_mark(cell("1.234"), ','));
    assert_true(mbl_csv_other_mark(cell("12,5"), '.'));
    assert_false(mbl_csv_other_mark(cell("12.5"), '.'));
    assert_false(mbl_csv_other_mark(cell("nan"), '.'));
}

static void short_numbers_are_read_to_the_last_bit(void **state)
{
    (void)state;
    static const char *const good[] = {"0.1",        "-217.43", "123456789012345",  "1e-3", "5.",
                                       "0.00000001", "+3.5",    "9007199254740993", ".25",  "-0"};
    for (size_t i = 0; i < sizeof good / sizeof good[0]; i++) {
        double value = 7;
        assert_true(mbl_csv_number(cell(good[i]), '.', &value));
        assert_near(value, strtod(good[i], NULL), 0);
    }
    static const char *const bad[] = {"",    "-",   ".",    "1.2.3", "1,5",
                                      "nan", "inf", "0x1F", "12 3",  "1e999"};
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++) {
        double value = 7;
        assert_false(mbl_csv_number(cell(bad[i]), '.', &value));
    }
}

/* Reads one line and compares its cells, parted by '/'. */
static void assert_row(const char *line, char delimiter, const char *want)
{
    mbl_csv csv;
    char got[200] = "";
    size_t k = 0;
    mbl_csv_begin(&csv, line, strlen(line), delimiter);
    assert_true(mbl_csv_next(&csv));
    for (size_t i = 0; i < csv.n; i++)
        k += (size_t)snprintf(got + k, sizeof got - k, "%s%.*s", i > 0 ? "/" : "",
                              (int)csv.cell[i].n, csv.cell[i].text);
    assert_string_equal(got, want);
}

static void cells_lose_their_quotes_and_blanks(void **state)
{
    (void)state;
    assert_row("a, b ,c", ',', "a/b/c");
    assert_row("\"a\",\" b, c \",\"\"", ',', "a/b, c/");
    assert_row("\"say \"\"x\"\"\",2", ',', "say \"\"x\"\"/2");
    assert_row("1,2,", ',', "1/2/");
    assert_row("\t1\t2", '\t', "/1/2");
    assert_row("\"Speed\"|\"km/h\"|0|9,\"x\"", ',', "\"Speed\"|\"km/h\"|0|9/x");
    assert_row("\"a, b\"|\"u\",c", ',', "\"a, b\"|\"u\"/c");
    assert_row("  1 \t 2  3 ", ' ', "1/2/3");
    assert_row("one line, whole", '\0', "one line, whole");
}

static void comments_and_blank_rows_count_as_lines(void **state)
{
    (void)state;
    const char *text = "\xEF\xBB\xBF# first\na,b\r\n// x\r  # y\n,\n\n1,2";
    mbl_csv csv;
    mbl_csv_begin(&csv, text, strlen(text), ',');
    assert_true(mbl_csv_next(&csv));
    assert_int_equal(csv.line, 2);
    assert_true(mbl_csv_next(&csv));
    assert_int_equal(csv.line, 5);
    assert_int_equal(csv.n, 0);
    assert_true(mbl_csv_next(&csv));
    assert_int_equal(csv.n, 0);
    assert_false(csv.cut);
    assert_true(mbl_csv_next(&csv));
    assert_int_equal(csv.line, 7);
    assert_int_equal(csv.n, 2);
    assert_true(csv.cut);
    assert_int_equal(csv.comments, 3);
    assert_false(mbl_csv_next(&csv));
}

static bool is_torn(const char *text, size_t cells)
{
    mbl_csv csv;
    mbl_csv_begin(&csv, text, strlen(text), ',');
    while (mbl_csv_next(&csv))
        ;
    return mbl_csv_torn(&csv, text, cells, '.');
}

static void a_torn_row_is_shorter_than_those_before(void **state)
{
    (void)state;
    assert_true(is_torn("1,2\n3", 2));
    assert_true(is_torn("1,2\n3,\"4", 2));
    assert_false(is_torn("1,2\n3,4", 2));
    assert_false(is_torn("1,2\n3\n", 2)); /* its line has an end */
    /* two decimals in each of ten rows, and then one */
#define TEN "1,2.25\n1,2.25\n1,2.25\n1,2.25\n1,2.25\n1,2.25\n1,2.25\n1,2.25\n1,2.25\n1,2.25\n"
    assert_true(is_torn("t,v\n" TEN "1,2.2", 2));
    assert_true(is_torn("t,v\n" TEN "1,2", 2));
    assert_false(is_torn("t,v\n" TEN "1,2.25", 2));
    assert_false(is_torn("t,v\n" TEN "1,2.5\n1,2.25\n1,2.5", 2)); /* as many as it needs */
    assert_false(is_torn("t,v\n1,2.25\n1,2.5", 2));               /* too few to learn from */
#undef TEN
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(delimiter_and_decimal_mark_are_found_together),
        cmocka_unit_test(thousands_are_read_where_they_are_certain),
        cmocka_unit_test(short_numbers_are_read_to_the_last_bit),
        cmocka_unit_test(cells_lose_their_quotes_and_blanks),
        cmocka_unit_test(comments_and_blank_rows_count_as_lines),
        cmocka_unit_test(a_torn_row_is_shorter_than_those_before),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
