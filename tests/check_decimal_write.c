// Numbers for other programs, also where the locale writes them in its own way.
#include "files/decimal.h"
#include "support/checks.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

/* What stands for the decimal point, as in a locale. The library calls this snprintf. */
static const char *radix = ".";

int snprintf(char *restrict buffer, size_t size, const char *restrict format, ...)
{
    char text[400], with_radix[420];
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    const char *point = strcmp(format, "%.*f") == 0 ? strchr(text, '.') : NULL;
    if (point != NULL) {
        size_t whole = (size_t)(point - text);
        memcpy(with_radix, text, whole);
        strcpy(with_radix + whole, radix);
        strcat(with_radix, point + 1);
    } else
        strcpy(with_radix, text);
    length = (int)strlen(with_radix);
    if (size > 0) {
        size_t kept = (size_t)length < size ? (size_t)length : size - 1;
        memcpy(buffer, with_radix, kept);
        buffer[kept] = '\0';
    }
    return length;
}

static const struct {
    double value;
    int decimals;
    const char *text;
} cases[] = {
    {0.0, 3, "0"},
    {-0.0, 3, "0"},
    {-0.0, 0, "0"},
    {1.0, 0, "1"},
    {10.0, 3, "10"},
    {-10.0, 0, "-10"},
    {1200.0, 9, "1200"},
    {0.5, 3, "0.5"},
    {-0.5, 9, "-0.5"},
    {-0.0004, 3, "0"},
    {-0.0006, 3, "-0.001"},
    {99.9996, 3, "100"},
    {1.25, 1, "1.2"}, // a tie goes to the even digit
    {1234567.125, 3, "1234567.125"},
    {0.1, 20, "0.10000000000000000555"},
    {1e15, 9, "1000000000000000"},
    {INFINITY, 3, "inf"},
    {-INFINITY, 3, "-inf"},
};

static void check_cases(void)
{
    char text[60];
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int length = sw_decimal_write(cases[i].value, cases[i].decimals, text, sizeof text);
        ck_assert_str_eq(text, cases[i].text);
        ck_assert_int_eq(length, (int)strlen(text));
    }
}

START_TEST(numbers_have_a_point_and_no_idle_zeros)
{
    check_cases();
}
END_TEST

/* U+066B, the decimal point of some locales, has two bytes. */
START_TEST(no_locale_has_a_say)
{
    static const char *const foreign[] = {",", "\u066b", "\u2396"};
    for (size_t i = 0; i < sizeof foreign / sizeof foreign[0]; i++) {
        char text[20], expected[20] = "0";
        radix = foreign[i];
        snprintf(text, sizeof text, "%.*f", 1, 0.5);
        ck_assert_str_eq(text, strcat(strcat(expected, radix), "5")); // the replacement is the one called
        check_cases();
    }
    radix = ".";
}
END_TEST

START_TEST(the_largest_number_fits)
{
    char text[400];
    ck_assert_int_eq(sw_decimal_write(-1.7976931348623157e308, 20, text, sizeof text), 310);
    ck_assert_int_eq((int)strlen(text), 310);
    ck_assert_int_eq(sw_decimal_write(1234.5, 3, text, 4), 6);
    ck_assert_str_eq(text, "123");
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        numbers_have_a_point_and_no_idle_zeros,
        no_locale_has_a_say,
        the_largest_number_fits,
        NULL,
    };
    return sw_suite_of("decimal write", tests, 10);
}
