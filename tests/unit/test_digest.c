/* SPDX-License-Identifier: MIT */
/* Digests: what tells two contents apart, and what does not. */
#include "base/base.h"
#include "support/test.h"

static mbl_digest of_bytes(const void *bytes, size_t n)
{
    mbl_digest d;
    mbl_digest_start(&d);
    mbl_digest_add(&d, bytes, n);
    return d;
}

static mbl_digest of_numbers(const double *x, size_t n)
{
    mbl_digest d;
    mbl_digest_start(&d);
    for (size_t i = 0; i < n; i++)
        mbl_digest_number(&d, x[i]);
    return d;
}

static void same(mbl_digest a, mbl_digest b)
{
    assert_true(mbl_digest_same(&a, &b));
}

static void differ(mbl_digest a, mbl_digest b)
{
    assert_false(mbl_digest_same(&a, &b));
    assert_true(a.a != b.a && a.b != b.b); /* each half by itself, but once in 2^64 */
}

static void equal_contents_have_equal_digests_wherever_they_lie(void **state)
{
    (void)state;
    char text[64] = " out, hot, hot, cool, park";
    for (size_t at = 0; at < 9; at++) {
        char moved[80] = {0};
        memcpy(moved + at, text, sizeof text);
        same(of_bytes(text, 27), of_bytes(moved + at, 27));
    }
}

static void the_order_counts(void **state)
{
    (void)state;
    differ(of_numbers((const double[]){1, 2}, 2), of_numbers((const double[]){2, 1}, 2));
    differ(of_numbers((const double[]){0, 1}, 2), of_numbers((const double[]){1, 0}, 2));
    differ(of_bytes("ab", 2), of_bytes("ba", 2));
    differ(of_bytes("12345678abcdefgh", 16), of_bytes("abcdefgh12345678", 16));
}

/* Zeros at the end, as a struct has in its gaps, are contents. */
static void the_length_counts(void **state)
{
    (void)state;
    static const char zeros[32] = {0};
    for (size_t n = 0; n < sizeof zeros; n++) {
        for (size_t m = 0; m < n; m++)
            differ(of_bytes(zeros, n), of_bytes(zeros, m));
    }
    const double none[4] = {0};
    for (size_t n = 1; n < 4; n++)
        differ(of_numbers(none, n), of_numbers(none, n - 1));
}

/* Where one text ends and the next begins is told by their lengths. */
static void texts_that_run_on_are_not_one_text(void **state)
{
    (void)state;
    mbl_digest apart;
    mbl_digest shifted;
    mbl_digest_start(&apart);
    mbl_digest_add(&apart, "hot", 3);
    mbl_digest_add(&apart, "lap", 3);
    mbl_digest_start(&shifted);
    mbl_digest_add(&shifted, "hotl", 4);
    mbl_digest_add(&shifted, "ap", 2);
    differ(apart, shifted);
    differ(apart, of_bytes("hotlap", 6));
}

static void zero_and_minus_zero_are_one_number(void **state)
{
    (void)state;
    same(of_numbers((const double[]){0.0}, 1), of_numbers((const double[]){-0.0}, 1));
    const double least = 4.9406564584124654e-324;
    differ(of_numbers((const double[]){0.0}, 1), of_numbers((const double[]){least}, 1));
    differ(of_numbers((const double[]){1.0}, 1), of_numbers((const double[]){-1.0}, 1));
}

static int bits_of(uint64_t x)
{
    int n = 0;
    for (; x > 0; x &= x - 1)
        n++;
    return n;
}

/* Of the 128 bits that come out about half turn over, whichever goes in. */
static void one_bit_changes_the_digest(void **state)
{
    (void)state;
    unsigned char bytes[24];
    for (size_t i = 0; i < sizeof bytes; i++)
        bytes[i] = (unsigned char)(37 * i + 11);
    mbl_digest whole = of_bytes(bytes, sizeof bytes);
    double turned = 0;
    for (size_t bit = 0; bit < 8 * sizeof bytes; bit++) {
        bytes[bit / 8] ^= (unsigned char)(1u << bit % 8);
        mbl_digest other = of_bytes(bytes, sizeof bytes);
        bytes[bit / 8] ^= (unsigned char)(1u << bit % 8);
        differ(whole, other);
        int n = bits_of(whole.a ^ other.a) + bits_of(whole.b ^ other.b);
        turned += n;
    }
    turned /= 8 * sizeof bytes;
    printf("%.1f of 128 bits turn over\n", turned);
    assert_true(turned > 48 && turned < 80);
}

static void counts_that_differ_have_digests_that_differ(void **state)
{
    (void)state;
    enum { MANY = 2000 };
    static mbl_digest seen[MANY];
    for (uint64_t i = 0; i < MANY; i++) {
        mbl_digest_start(&seen[i]);
        mbl_digest_count(&seen[i], i);
        for (uint64_t k = 0; k < i; k++)
            differ(seen[i], seen[k]);
    }
}

static void it_is_written_as_32_hexadecimal_digits(void **state)
{
    (void)state;
    char text[40];
    memset(text, 'x', sizeof text);
    mbl_digest_write(&(mbl_digest){0x0123456789abcdefu, 0x00000000000000f0u}, text);
    assert_string_equal(text, "0123456789abcdef00000000000000f0");
    assert_int_equal(text[33], 'x');
    mbl_digest_write(&(mbl_digest){~(uint64_t)0, 0}, text);
    assert_string_equal(text, "ffffffffffffffff0000000000000000");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(equal_contents_have_equal_digests_wherever_they_lie),
        cmocka_unit_test(the_order_counts),
        cmocka_unit_test(the_length_counts),
        cmocka_unit_test(texts_that_run_on_are_not_one_text),
        cmocka_unit_test(zero_and_minus_zero_are_one_number),
        cmocka_unit_test(one_bit_changes_the_digest),
        cmocka_unit_test(counts_that_differ_have_digests_that_differ),
        cmocka_unit_test(it_is_written_as_32_hexadecimal_digits),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
