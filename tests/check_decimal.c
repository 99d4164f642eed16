// Decimal numerals against the C library's own reader, which the C locale makes correctly
// rounded too.
#include "files/decimal.h"
#include "support/checks.h"

#include <float.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* [clinger-1990] asks for the nearest double, ties to even, of every numeral. */
static void check(const char *text)
{
    double value = NAN, expected = strtod(text, NULL);
    sw_decimal_fit fit = sw_decimal_read(text, strlen(text), &value);
    size_t significant = strspn(text, "-.0");
    int is_zero = strspn(text + significant, "123456789") == 0;
    sw_decimal_fit should = isinf(expected)             ? SW_DECIMAL_TOO_LARGE
                            : expected == 0 && !is_zero ? SW_DECIMAL_TOO_SMALL
                                                        : SW_DECIMAL_FITS;
    ck_assert_msg(fit == should, "%.60s: fit %d, not %d", text, fit, should);
    if (fit == SW_DECIMAL_FITS)
        ck_assert_msg(value == expected && signbit(value) == signbit(expected), "%.60s: %a, not %a", text,
                      value, expected);
    else
        ck_assert(value == 0);
}

START_TEST(edges_of_the_format_are_read_to_the_bit)
{
    static const char *const texts[] = {
        "0",
        "-0",
        "0.0",
        "0e999999999999",
        "1",
        "-1",
        "0.1",
        "0.3",
        "1e22",
        "1e23",
        "9007199254740993",
        "9007199254740992.5",
        "1.7976931348623157e308",
        "1.7976931348623158e308",
        "1.7976931348623159e308", // beyond the last tie: infinite
        "179769313486231580793e289",
        "2.2250738585072014e-308",
        "2.2250738585072011e-308",
        "5e-324",
        "4.9e-324",
        "2.4703282292062328e-324",
        "2.4703282292062327e-324",
        "2e-324",
        "1e-325",
        "1e-999",
        "1e999",
        "-1e999",
        "1e99999999999999999999",
        "1e-99999999999999999999",
        "0.000000000000000000000000000000000001",
        ".5",
        "123456789012345678901234567890",
        "8.5e-1",
        "6.02214076e23",
        "0.36E+2",
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        check(texts[i]);
}
END_TEST

START_TEST(commas_are_passed_over)
{
    double value;
    ck_assert_int_eq(sw_decimal_read("1,234,567.5", 11, &value), SW_DECIMAL_FITS);
    ck_assert_double_eq(value, 1234567.5);
}
END_TEST

START_TEST(only_the_given_length_is_read)
{
    double value;
    ck_assert_int_eq(sw_decimal_read("12345", 2, &value), SW_DECIMAL_FITS);
    ck_assert_double_eq(value, 12);
}
END_TEST

static uint64_t random_state = 88172645463325252u;

static uint64_t next_random(void)
{
    random_state ^= random_state << 13;
    random_state ^= random_state >> 7;
    random_state ^= random_state << 17;
    return random_state;
}

static double random_double(uint64_t below)
{
    uint64_t bits = below == 0 ? next_random() : next_random() % below;
    double value;
    memcpy(&value, &bits, sizeof value);
    return value;
}

START_TEST(random_doubles_are_read_to_the_bit_at_any_length)
{
    for (int trial = 0; trial < 20000; trial++) {
        char text[64];
        double value = random_double(0);
        snprintf(text, sizeof text, "%.*e", (int)(next_random() % 25), isfinite(value) ? value : 1.5);
        check(text);
    }
}
END_TEST

START_TEST(random_numerals_around_the_limits_are_read_to_the_bit)
{
    for (int trial = 0; trial < 20000; trial++) {
        char text[64];
        unsigned long long digits = next_random() >> (next_random() % 64);
        snprintf(text, sizeof text, "%llue%d", digits, (int)(next_random() % 700) - 350);
        check(text);
    }
}
END_TEST

#if LDBL_MANT_DIG >= 64
// The hardest numerals: the exact midpoint of two neighbours, with up to 767 digits, and one step to either
// side.
START_TEST(exact_ties_go_to_the_even_neighbour_and_a_last_digit_breaks_them)
{
    for (int trial = 0; trial < 600; trial++) {
        char text[1000], broken[2200];
        double low = fabs(random_double(trial % 2 == 0 ? 0 : (uint64_t)1 << 54));
        if (!isfinite(low) || low == 0)
            continue;
        long double tie = ((long double)low + (long double)nextafter(low, INFINITY)) / 2;
        if (isinf((double)nextafter(low, INFINITY)))
            continue;
        snprintf(text, sizeof text, "%.770Le", tie);
        check(text);
        char *exponent = strchr(text, 'e');
        snprintf(broken, sizeof broken, "%.*s%0*d1%s", (int)(exponent - text), text, 900, 0, exponent);
        check(broken);
    }
}
END_TEST
#endif

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        edges_of_the_format_are_read_to_the_bit,
        commas_are_passed_over,
        only_the_given_length_is_read,
        random_doubles_are_read_to_the_bit_at_any_length,
        random_numerals_around_the_limits_are_read_to_the_bit,
#if LDBL_MANT_DIG >= 64
        exact_ties_go_to_the_even_neighbour_and_a_last_digit_breaks_them,
#endif
        NULL,
    };
    return sw_suite_of("decimal", tests, 30);
}
