// The course of the air temperature over a day.
#include "support/checks.h"

#include "stillwatt/sky.h"

#include <math.h>
#include <stdint.h>
#include <stdio.h>

// Days of one winter week whose suns and extremes all differ; noon at 12:00 UTC of day 0, 1, 2 ...
static sw_air_day day_of(int index)
{
    const double min_c[] = {-3.0, 1.0, -8.0, -7.5, 4.0, 2.0}, max_c[] = {6.0, 12.0, -1.0, 9.0, 5.0, 15.0};
    int64_t noon_s = 43200 + 86400 * (int64_t)index + 17 * index;
    int64_t half_s = 17000 + 110 * index;
    return (sw_air_day){
        {SW_DAY_AND_NIGHT, noon_s - half_s, noon_s, noon_s + half_s}, min_c[index], max_c[index]};
}

static double air_c(int64_t utc_s, int today)
{
    sw_air_day days[3] = {day_of(today - 1), day_of(today), day_of(today + 1)};
    return sw_air_temperature_c(utc_s, &days[0], &days[1], &days[2]);
}

// [parton-logan-1981] for air at 1.5 m, for the second computation of the whole course; the constants
// themselves are checked in tests/published/statistics.txt. Moments are whole seconds: half a second at the
// steepest, 21 K in 6 h, is 0.001 K.
static const double lag_s = 1.86 * 3600.0, before_rise_s = 0.17 * 3600.0, second_k = 0.001;

START_TEST(each_day_reaches_its_minimum_before_sunrise_and_its_maximum_after_noon)
{
    for (int today = 1; today <= 4; today++) {
        sw_air_day day = day_of(today);
        ck_assert_double_eq_tol(air_c(day.sun.rise_s - llround(before_rise_s), today), day.min_c, second_k);
        ck_assert_double_eq_tol(air_c(day.sun.noon_s + llround(lag_s), today), day.max_c, 1e-6);
        for (int64_t s = day.sun.rise_s - llround(before_rise_s); s <= day.sun.set_s; s += 60) {
            ck_assert_double_ge(air_c(s, today), day.min_c - second_k);
            ck_assert_double_le(air_c(s, today), day.max_c);
        }
    }
}
END_TEST

// The same curve with the paper's quantities: a sine over Y + 2(a - c) hours, then from sunset the
// exponential, displaced and scaled by the factor that takes away its jump at the next minimum.
static double slow_air_c(double now_s, int today)
{
    sw_air_day day = day_of(today), other;
    double minimum_s = (double)day.sun.rise_s - before_rise_s, set_s = (double)day.sun.set_s;
    double y_s = (double)(day.sun.set_s - day.sun.rise_s), sine_s = y_s + 2.0 * (lag_s + before_rise_s);
    if (now_s >= minimum_s && now_s <= set_s)
        return day.min_c + (day.max_c - day.min_c) * sin(acos(-1.0) * (now_s - minimum_s) / sine_s);
    if (now_s < minimum_s)
        return slow_air_c(now_s, today - 1);
    other = day_of(today + 1);
    double next_s = (double)other.sun.rise_s - before_rise_s, share = (now_s - set_s) / (next_s - set_s);
    double set_c = day.min_c + (day.max_c - day.min_c) * sin(acos(-1.0) * (set_s - minimum_s) / sine_s);
    double factor = 1.0 / (1.0 - exp(-2.2)),
           displaced_c = other.min_c - (set_c - other.min_c) * exp(-2.2) * factor;
    return displaced_c + (set_c - displaced_c) * exp(-2.2 * share);
}

START_TEST(the_course_is_that_of_parton_and_logan)
{
    for (int today = 1; today <= 4; today++) {
        int64_t noon_s = day_of(today).sun.noon_s;
        for (int64_t s = noon_s - 43200; s <= noon_s + 43200; s += 97)
            ck_assert_double_eq_tol(air_c(s, today), slow_air_c((double)s, today), 1e-9);
    }
}
END_TEST

// Where the caller goes on to the next day, at any time of the night, both days tell the same.
START_TEST(two_days_agree_on_the_night_between_them)
{
    for (int today = 1; today <= 3; today++) {
        int64_t set_s = day_of(today).sun.set_s,
                minimum_s = day_of(today + 1).sun.rise_s - llround(before_rise_s);
        for (int64_t s = set_s + 1; s < minimum_s; s += 31)
            ck_assert_double_eq(air_c(s, today), air_c(s, today + 1));
    }
}
END_TEST

// No jump anywhere in four days. Steepest: just after a sunset, 2.2/(1 - exp(-2.2)) of the drop of 17.5 K at
// most in a night of 14 h, 3.1 K/h, and the sine's rise of 16.5 K in 6.5 h, 4 K/h; at 4.5 K/h a second is
// 0.00125 K.
START_TEST(the_course_has_no_jumps)
{
    for (int today = 1; today <= 4; today++) {
        int64_t noon_s = day_of(today).sun.noon_s;
        for (int64_t s = noon_s - 43200; s < noon_s + 43200; s++)
            ck_assert_double_lt(fabs(air_c(s + 1, today) - air_c(s, today)), 0.00125);
    }
}
END_TEST

static sw_air_day polar_day_of(int index, sw_daylight kind)
{
    int64_t noon_s = 43200 + 86400 * (int64_t)index, half_s = kind == SW_POLAR_DAY ? 43200 : 0;
    return (sw_air_day){{kind, noon_s - half_s, noon_s, noon_s + half_s}, -20.0, -10.0};
}

// Days of 4 and of 22 h stand for the polar ones: both have their extremes and no jump (10 K in 3.9 h, 4
// K/h).
START_TEST(polar_days_have_a_minimum_and_a_maximum_too)
{
    const sw_daylight kinds[] = {SW_POLAR_DAY, SW_POLAR_NIGHT};
    for (size_t k = 0; k < 2; k++) {
        sw_air_day days[3] = {polar_day_of(0, kinds[k]), polar_day_of(1, kinds[k]),
                              polar_day_of(2, kinds[k])};
        double low_c = 99.0, high_c = -99.0, before_c = NAN;
        for (int64_t s = 86400; s <= 2 * 86400; s++) {
            double now_c = sw_air_temperature_c(s, &days[0], &days[1], &days[2]);
            low_c = fmin(low_c, now_c);
            high_c = fmax(high_c, now_c);
            ck_assert(isnan(before_c) || fabs(now_c - before_c) < 0.00175);
            before_c = now_c;
        }
        ck_assert_double_eq_tol(low_c, -20.0, second_k);
        ck_assert_double_eq_tol(high_c, -10.0, 1e-6);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *tests[] = {
        each_day_reaches_its_minimum_before_sunrise_and_its_maximum_after_noon,
        the_course_is_that_of_parton_and_logan,
        two_days_agree_on_the_night_between_them,
        the_course_has_no_jumps,
        polar_days_have_a_minimum_and_a_maximum_too,
        NULL,
    };
    return sw_suite_of("air", tests, 30.0);
}
