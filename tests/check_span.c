// Scanning of delimited text: numbers against the C library's strtod, fields, lines and names.
#include "support/checks.h"
#include "weather/span.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static sw_span span_of(const char *text)
{
    return (sw_span){text, text + strlen(text)};
}

static uint64_t next_random(uint64_t *state)
{
    *state = *state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return *state >> 33;
}

START_TEST(random_numerals_are_read_as_strtod_reads_them)
{
    uint64_t state = 7; /* the tests run in the C locale, where strtod reads a full stop */
    for (int i = 0; i < 200000; i++) {
        char text[64];
        int length = 0, digits = 1 + (int)(next_random(&state) % (i % 4 == 0 ? 25 : 7)),
            point = (int)(next_random(&state) % 26);
        if (next_random(&state) % 3 == 0)
            text[length++] = next_random(&state) % 2 ? '-' : '+';
        for (int k = 0; k < digits; k++) {
            if (k == point)
                text[length++] = '.';
            text[length++] = (char)('0' + next_random(&state) % 10);
        }
        if (next_random(&state) % 4 == 0)
            length += snprintf(text + length, 16, "%c%d", i % 2 ? 'e' : 'E',
                               (int)(next_random(&state) % 700) - 350);
        text[length] = '\0';
        double expected = strtod(text, NULL), got = 0;
        int finite = expected - expected == 0;
        ck_assert_msg(sw_span_number(span_of(text), &got) == finite, "%s", text);
        ck_assert_msg(!finite || got == expected, "%s: %.17g, not %.17g", text, got, expected);
    }
}
END_TEST

START_TEST(only_plain_numbers_are_numbers)
{
    static const char *const bad[] = {"",    " ",   "-",     "+",   ".",     "-.",        "e5",
                                      "1e",  "1e+", "1.2.3", "1 2", "0x1",   "nan",       "inf",
                                      "1,5", "--1", "+-1",   "1-",  "1e5.0", "\302\2401", "1e999"};
    double value = 42;
    for (size_t i = 0; i < sizeof bad / sizeof bad[0]; i++)
        ck_assert_msg(!sw_span_number(span_of(bad[i]), &value), "\"%s\" was read", bad[i]);
    ck_assert_double_eq(value, 42);
    static const char one_nul[] = "1\0";
    ck_assert(!sw_span_number((sw_span){one_nul, one_nul + 2}, &value));
    ck_assert(sw_span_number(span_of(" \t 5. \r"), &value) && value == 5);
    ck_assert(sw_span_number(span_of(".999"), &value) && value == 0.999);
    ck_assert(sw_span_number(span_of("-0"), &value) && value == 0);
}
END_TEST

START_TEST(fields_and_lines_come_one_by_one)
{
    sw_span rest = span_of("a,,b"), field;
    static const char *const fields[] = {"a", "", "b"};
    for (int i = 0; i < 3; i++) {
        ck_assert(sw_span_field(&rest, ',', &field));
        ck_assert((size_t)(field.end - field.at) == strlen(fields[i]) &&
                  memcmp(field.at, fields[i], strlen(fields[i])) == 0);
    }
    ck_assert(!sw_span_field(&rest, ',', &field));
    rest = span_of("x\r\n\ny");
    static const char *const lines[] = {"x", "", "y"};
    for (int i = 0; i < 3; i++) {
        ck_assert(sw_span_line(&rest, &field));
        ck_assert((size_t)(field.end - field.at) == strlen(lines[i]) &&
                  memcmp(field.at, lines[i], strlen(lines[i])) == 0);
    }
    ck_assert(!sw_span_line(&rest, &field));
}
END_TEST

START_TEST(names_become_utf_8_of_whole_characters)
{
    static const struct {
        const char *from, *to;
        size_t size;
    } cases[] = {
        {"plain", "plain", 32},
        {"plain", "pla", 4},
        {"\xC3\xA9t\xC3\xA9", "\xC3\xA9t", 5},  /* no half of the second accent */
        {"\xE9t\xE9", "\xC3\xA9t\xC3\xA9", 32}, /* Latin-1 */
        {"a\tb\x7F"
         "c\x80",
         "a b c ", 32},
        {"\xC2\x9B"
         "31m\xE2\x80\xAE",
         " 31m ", 32},                        /* what would steer a terminal */
        {"\xC0\xAF", "\xC3\x80\xC2\xAF", 32}, /* overlong: taken for Latin-1 */
        {"\xE2\x82\xAC \xF0\x9F\x8C\x9E", "\xE2\x82\xAC \xF0\x9F\x8C\x9E", 32},
        {"\xED\xA0\x80", "\xC3\xAD\xC2\xA0 ", 32}, /* a surrogate is no character */
        {"\xE2\x82", "\xC3\xA2 ", 32},             /* cut off */
        {"", "", 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char out[32];
        sw_span_copy(span_of(cases[i].from), out, cases[i].size);
        ck_assert_str_eq(out, cases[i].to);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        random_numerals_are_read_as_strtod_reads_them,
        only_plain_numbers_are_numbers,
        fields_and_lines_come_one_by_one,
        names_become_utf_8_of_whole_characters,
        NULL,
    };
    return sw_suite_of("span", tests, 20);
}
