// The EPW reader on invented years that are damaged: what it says, and that nothing worse happens.
#include "support/checks.h"
#include "support/invented_epw.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

/* Whoever asks for hours in it is told; the rest of the year can be used. */
START_TEST(a_gap_of_four_stays_a_gap)
{
    invented_shape s = invented_plain;
    s.ghi = "-9999";
    s.from = 4000;
    s.to = 4004;
    epw_reading r = read_invented(&s);
    ck_assert_int_eq(r.status, SW_OK);
    for (int i = 3998; i < 4006; i++)
        ck_assert_int_eq(isnan(r.series->row[i].ghi_w_m2) != 0, i >= s.from && i < s.to);
    ck_assert_uint_eq(sw_messages_count(r.messages), 0);
    free_reading(&r);
}
END_TEST

START_TEST(a_column_without_any_value_is_an_error)
{
    invented_shape s = invented_plain;
    s.ghi = "9999";
    s.to = 8760;
    epw_reading r = read_invented(&s);
    ck_assert_int_eq(r.status, SW_BAD_INPUT);
    expect_message(&r, "global radiation is missing in every row", 0);
    free_reading(&r);
}
END_TEST

START_TEST(a_missing_row_is_told_with_its_place_and_the_count)
{
    invented_shape s = invented_plain;
    s.skip = 1416 + 7;
    epw_reading r = read_invented(&s);
    ck_assert_int_eq(r.status, SW_BAD_INPUT);
    expect_message(&r, "the row of month 3 day 1 hour 8 should stand here, not month 3 day 1 hour 9",
                   8 + 1424);
    expect_message(&r, "the file has 8759 rows of data, not 8760", 0);
    ck_assert_uint_eq(sw_messages_errors(r.messages), 2);
    free_reading(&r);
}
END_TEST

START_TEST(rows_beyond_the_year_are_counted)
{
    invented_text file = invented_year(&invented_plain);
    for (int i = 0; i < 100; i++)
        invented_add(&file, "2004,1,1,%d,0,x,1,1,1\n", i + 1);
    epw_reading r = read_epw(file.text, file.length);
    free(file.text);
    ck_assert_int_eq(r.status, SW_BAD_INPUT);
    expect_message(&r, "the file has 8860 rows of data, not 8760", 0);
    free_reading(&r);
}
END_TEST

START_TEST(what_cannot_be_is_an_error_with_line_and_column)
{
    static const struct {
        const char *air, *ghi, *says;
    } cases[] = {
        {"85.0", NULL, "air temperature cannot be \"85.0\""},
        {"12.x", NULL, "air temperature cannot be \"12.x\""},
        {"1.2.3", NULL, "cannot be \"1.2.3\""},
        {"nan", NULL, "cannot be \"nan\""},
        {"0x10", NULL, "cannot be \"0x10\""},
        {"1e", NULL, "cannot be \"1e\""},
        {NULL, "2500", "global radiation cannot be \"2500\""},
        {NULL, "--5", "global radiation cannot be \"--5\""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        invented_shape s = invented_plain;
        s.air = cases[i].air;
        s.ghi = cases[i].ghi;
        s.from = 30;
        s.to = 31;
        epw_reading r = read_invented(&s);
        ck_assert_int_eq(r.status, SW_BAD_INPUT);
        expect_message(&r, cases[i].says, 8 + 31);
        ck_assert_int_gt(sw_messages_at(r.messages, 0)->where.column, 10);
        free_reading(&r);
    }
}
END_TEST

START_TEST(twenty_errors_are_listed_and_then_no_more)
{
    invented_shape s = invented_plain;
    s.air = "warm";
    s.to = 8760;
    epw_reading r = read_invented(&s);
    ck_assert_int_eq(r.status, SW_BAD_INPUT);
    ck_assert_uint_eq(sw_messages_errors(r.messages), 21);
    expect_message(&r, "errors from here on are not listed", 8 + 21);
    free_reading(&r);
}
END_TEST

START_TEST(a_bad_header_is_told)
{
    static const struct {
        const char *text, *says;
        int line;
    } cases[] = {
        {"", "its first line does not begin with LOCATION", 1},
        {"month,day\n1,1\n", "its first line does not begin with LOCATION", 1},
        {"LOCATION,a,b,c,d,e,95,0,0,0\n", "the latitude must be a number from -90 to 90, not \"95\"", 1},
        {"LOCATION,a,b,c,d,e,45,x,0,0\n", "the longitude must be a number from -180 to 180, not \"x\"", 1},
        {"LOCATION,a,b,c,d,e,45,7,30,0\n", "the time zone must be", 1},
        {"LOCATION,a,b,c,d,e,45,7,1\n", "the elevation must be", 1},
        {"LOCATION,a,b,c,d,e,45,7,1,100\nCOMMENTS 1", "the header has no line that begins with DATA PERIODS",
         2},
        {"LOCATION,a,b,c,d,e,45,7,1,100\nDATA PERIODS,1,4,Data\n", "one record an hour", 2},
        {"LOCATION,a,b,c,d,e,45,7,1,100\nDATA PERIODS,1,1,Data\n", "the file has 0 rows of data, not 8760",
         2},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        epw_reading r = read_epw(cases[i].text, strlen(cases[i].text));
        ck_assert_int_eq(r.status, SW_BAD_INPUT);
        expect_message(&r, cases[i].says, cases[i].line);
        free_reading(&r);
    }
}
END_TEST

START_TEST(cut_and_damaged_files_do_no_harm)
{
    invented_text file = invented_year(&invented_plain);
    unsigned seed = 12345;
    size_t kept = 40000; /* the header and 400 rows: short, so that many can be tried */
    for (int i = 0; i < 400; i++) {
        char *copy = malloc(kept);
        memcpy(copy, file.text, kept);
        for (int k = 0; k < 1 + i % 5; k++) {
            seed = seed * 1664525u + 1013904223u;
            size_t at = (seed >> 8) % (i % 3 == 0 ? 700 : kept);
            seed = seed * 1664525u + 1013904223u;
            copy[at] = (char)(seed >> 16);
        }
        epw_reading r = read_epw(copy, i % 2 == 0 ? kept : (seed >> 8) % kept);
        ck_assert_int_eq(r.status, SW_BAD_INPUT); /* 400 rows are no year */
        ck_assert_uint_ge(sw_messages_errors(r.messages), 1);
        ck_assert_uint_le(sw_messages_errors(r.messages), 23);
        free(copy);
        free_reading(&r);
    }
    free(file.text);
}
END_TEST

START_TEST(one_line_of_twenty_megabytes_is_read_in_place)
{
    size_t length = 20u << 20;
    char *text = malloc(length);
    memset(text, '1', length);
    memcpy(text, "LOCATION,", 9);
    epw_reading r = read_epw(text, length);
    ck_assert_int_eq(r.status, SW_BAD_INPUT);
    memcpy(text, "LOCATION,a,b,c,d,e,1,1,1,1\nDATA PERIODS,1,1\n2003,1,1,", 52);
    epw_reading again = read_epw(text, length);
    ck_assert_int_eq(again.status, SW_BAD_INPUT);
    free(text);
    free_reading(&r);
    free_reading(&again);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        a_gap_of_four_stays_a_gap,
        a_column_without_any_value_is_an_error,
        a_missing_row_is_told_with_its_place_and_the_count,
        rows_beyond_the_year_are_counted,
        what_cannot_be_is_an_error_with_line_and_column,
        twenty_errors_are_listed_and_then_no_more,
        a_bad_header_is_told,
        cut_and_damaged_files_do_no_harm,
        one_line_of_twenty_megabytes_is_read_in_place,
        NULL,
    };
    return sw_suite_of("epw_faults", tests, 60);
}
