// Civil dates against the C library's calendar and a day-by-day count.
#include "stillwatt/zone.h"
#include "support/checks.h"

#include <time.h>

START_TEST(days_run_on_one_by_one_from_1601_to_2400)
{
    /* A plain second implementation: the day after each day, by the rule of the Gregorian calendar. */
    int64_t days = -134774; /* 1 January 1601, the epoch of NTFS: 11644473600 s before 1970 */
    int weekday = 1;        /* a Monday */
    for (int year = 1601; year <= 2400; year++)
        for (int month = 1; month <= 12; month++) {
            int thirty = month == 4 || month == 6 || month == 9 || month == 11;
            int leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
            int length = month == 2 ? 28 + leap : thirty ? 30 : 31;
            ck_assert_int_eq(sw_days_in_month(year, month), length);
            for (int day = 1; day <= length; day++, days++, weekday = (weekday + 1) % 7) {
                int y, m, d;
                sw_civil_from_days(days, &y, &m, &d);
                sw_expect(y == year && m == month && d == day, "%04d-%02d-%02d comes back as %04d-%02d-%02d",
                          year, month, day, y, m, d);
                sw_expect(sw_days_from_civil(year, month, day) == days && sw_weekday(days) == weekday,
                          "%04d-%02d-%02d", year, month, day);
            }
        }
}
END_TEST

START_TEST(far_dates_agree_with_the_c_library)
{
    for (int64_t days = -40000000; days < 40000000; days += 99991) {
        time_t seconds = (time_t)(days * 86400);
        struct tm tm;
        ck_assert_ptr_nonnull(gmtime_r(&seconds, &tm));
        int year, month, day;
        sw_civil_from_days(days, &year, &month, &day);
        ck_assert_int_eq(year, tm.tm_year + 1900);
        ck_assert_int_eq(month, tm.tm_mon + 1);
        ck_assert_int_eq(day, tm.tm_mday);
        ck_assert_int_eq(sw_weekday(days), tm.tm_wday);
        ck_assert_int_eq(sw_days_from_civil(year, month, day), days);
    }
}
END_TEST

START_TEST(dates_and_times_are_read_as_written)
{
    static const struct {
        const char *text;
        sw_civil civil;
        int has_time;
    } cases[] = {
        {"2026-11-06", {2026, 11, 6, 0, 0, 0}, 0},
        {"2026-11-06 16:30", {2026, 11, 6, 16, 30, 0}, 1},
        {"2026-11-06T16:30", {2026, 11, 6, 16, 30, 0}, 1},
        {"2026-11-06T16:30:59", {2026, 11, 6, 16, 30, 59}, 1},
        {"2028-02-29 00:00", {2028, 2, 29, 0, 0, 0}, 1},
        {"2000-02-29", {2000, 2, 29, 0, 0, 0}, 0},
        {"2026-11-06 24:00", {2026, 11, 6, 24, 0, 0}, 1},
        {"0001-01-01", {1, 1, 1, 0, 0, 0}, 0},
        {"9999-12-31 23:59", {9999, 12, 31, 23, 59, 0}, 1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_civil got;
        int has_time = -1;
        ck_assert_msg(sw_civil_parse(cases[i].text, &got, &has_time), "%s", cases[i].text);
        const sw_civil *want = &cases[i].civil;
        ck_assert(got.year == want->year && got.month == want->month && got.day == want->day);
        ck_assert(got.hour == want->hour && got.minute == want->minute && got.second == want->second);
        ck_assert_int_eq(has_time, cases[i].has_time);
    }
}
END_TEST

START_TEST(what_is_no_date_is_refused_and_leaves_the_answer_alone)
{
    static const char *const texts[] = {
        "",
        "2026",
        "2026-11",
        "2026-11-",
        "2026-11-6",
        "26-11-06",
        "2026-13-01",
        "2026-00-01",
        "2026-02-29",
        "1900-02-29",
        "2026-04-31",
        "2026-01-00",
        "0000-01-01",
        "2026-11-06 ",
        "2026-11-06 16",
        "2026-11-06 16:3",
        "2026-11-06 16:60",
        "2026-11-06 25:00",
        "2026-11-06 24:01",
        "2026-11-06 24:00:01",
        "2026-11-06 16:30:60",
        "2026-11-06 16:30Z",
        "2026-11-06 16:30+01",
        "2026/11/06",
        " 2026-11-06",
        "2026-11-06  16:30",
        "2026-11-06t16:30",
        "+026-11-06",
        "2026-11-06 16:30:",
        "-2026-11-06",
        "20261106",
    };
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++) {
        sw_civil civil = {1, 2, 3, 4, 5, 6};
        int has_time = -1;
        ck_assert_msg(!sw_civil_parse(texts[i], &civil, &has_time), "\"%s\" was read", texts[i]);
        ck_assert(civil.year == 1 && civil.second == 6 && has_time == -1);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        days_run_on_one_by_one_from_1601_to_2400,
        far_dates_agree_with_the_c_library,
        dates_and_times_are_read_as_written,
        what_is_no_date_is_refused_and_leaves_the_answer_alone,
        NULL,
    };
    return sw_suite_of("civil", tests, 20);
}
