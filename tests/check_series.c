// Which row of a weather record covers a moment, against the C library's calendar.
#include "stillwatt/series.h"
#include "support/checks.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

/* 2001-01-01T00:00Z, the year a typical year is counted in: 978307200 s by `date -u -d 2001-01-01 +%s`. */
#define YEAR_2001 INT64_C(978307200)

static sw_series typical_year(int32_t utc_offset_s)
{
    return (sw_series){.utc_offset_s = utc_offset_s,
                       .step_s = 3600,
                       .typical_year = 1,
                       .start_s = YEAR_2001 - utc_offset_s,
                       .count = 8760};
}

/* The hour of a common year by the C library's gmtime; 29 February reads as 28 February. */
static int32_t plain_index(int64_t utc_s, int32_t utc_offset_s)
{
    time_t local = (time_t)(utc_s + utc_offset_s);
    struct tm tm;
    gmtime_r(&local, &tm);
    int leap_day = tm.tm_mon == 1 && tm.tm_mday == 29;
    struct tm in_2001 = {
        .tm_year = 101, .tm_mon = tm.tm_mon, .tm_mday = leap_day ? 28 : tm.tm_mday, .tm_isdst = 0};
    static const int before[] = {0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334};
    return (before[in_2001.tm_mon] + in_2001.tm_mday - 1) * 24 + tm.tm_hour;
}

START_TEST(a_typical_year_serves_every_moment_of_1600_to_2400)
{
    static const int32_t offsets[] = {0, -25200, 19800, 43200, -12600};
    for (size_t o = 0; o < sizeof offsets / sizeof offsets[0]; o++) {
        sw_series series = typical_year(offsets[o]);
        for (int64_t t = INT64_C(-11676096000); t < INT64_C(13569465600); t += 4999 * 61)
            ck_assert_int_eq(sw_series_index(&series, t), plain_index(t, offsets[o]));
    }
}
END_TEST

START_TEST(rows_change_on_the_hour_of_their_own_clock)
{
    sw_series series = typical_year(19800);
    ck_assert_int_eq(sw_series_index(&series, series.start_s), 0);
    ck_assert_int_eq(sw_series_index(&series, series.start_s + 3599), 0);
    ck_assert_int_eq(sw_series_index(&series, series.start_s + 3600), 1);
    ck_assert_int_eq(sw_series_index(&series, series.start_s - 1), 8759);
}
END_TEST

START_TEST(a_leap_day_reads_the_day_before_it)
{
    sw_series series = typical_year(0);
    const int64_t noon_28_february_2028 = 1835352000; /* date -u -d '2028-02-28 12:00' +%s */
    int32_t noon = 58 * 24 + 12;
    ck_assert_int_eq(sw_series_index(&series, noon_28_february_2028), noon);
    ck_assert_int_eq(sw_series_index(&series, noon_28_february_2028 + 86400), noon);
    ck_assert_int_eq(sw_series_index(&series, noon_28_february_2028 + 2 * 86400), noon + 24);
}
END_TEST

START_TEST(a_real_record_ends_where_it_ends)
{
    sw_series series = {.step_s = 3600, .start_s = 1325401200, .count = 8784};
    ck_assert_int_eq(sw_series_index(&series, series.start_s - 1), -1);
    ck_assert_int_eq(sw_series_index(&series, series.start_s), 0);
    ck_assert_int_eq(sw_series_index(&series, series.start_s + INT64_C(8784) * 3600 - 1), 8783);
    ck_assert_int_eq(sw_series_index(&series, series.start_s + INT64_C(8784) * 3600), -1);
    ck_assert_int_eq(sw_series_index(&series, INT64_MAX), -1);
    ck_assert_int_eq(sw_series_index(&series, INT64_MIN), -1);
    ck_assert_int_eq(sw_series_next(&series, 8783), -1);
    ck_assert_int_eq(sw_series_previous(&series, 0), -1);
    ck_assert_int_eq(sw_series_next(&series, 5), 6);
    ck_assert_int_eq(sw_series_previous(&series, 5), 4);
}
END_TEST

START_TEST(a_typical_year_wraps_round)
{
    sw_series series = typical_year(0);
    ck_assert_int_eq(sw_series_next(&series, 8759), 0);
    ck_assert_int_eq(sw_series_previous(&series, 0), 8759);
}
END_TEST

START_TEST(the_ends_of_time_have_a_row_in_a_typical_year)
{
    sw_series series = typical_year(-43200);
    ck_assert_int_ge(sw_series_index(&series, INT64_MAX), 0);
    ck_assert_int_lt(sw_series_index(&series, INT64_MAX), 8760);
    ck_assert_int_ge(sw_series_index(&series, INT64_MIN), 0);
    ck_assert_int_lt(sw_series_index(&series, INT64_MIN), 8760);
}
END_TEST

START_TEST(freeing_nothing_is_allowed)
{
    sw_series_free(NULL);
    sw_series *series = calloc(1, sizeof *series);
    ck_assert_ptr_nonnull(series);
    sw_series_free(series);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        a_typical_year_serves_every_moment_of_1600_to_2400,
        rows_change_on_the_hour_of_their_own_clock,
        a_leap_day_reads_the_day_before_it,
        a_real_record_ends_where_it_ends,
        a_typical_year_wraps_round,
        the_ends_of_time_have_a_row_in_a_typical_year,
        freeing_nothing_is_allowed,
        NULL,
    };
    return sw_suite_of("series", tests, 20);
}
