// The sun's day: rise, noon and set by the closed form, polar days, and the day's extraterrestrial energy.
// Published values: tests/published/sunrise.txt and irradiance.txt.
#include "support/checks.h"

#include "stillwatt/sun.h"

#include <libnova/libnova.h>
#include <math.h>
#include <stdint.h>
#include <stdlib.h>

static const double degree = 0.017453292519943295;

// Noon of a date in local standard time is near enough to its solar noon to name the day.
static int64_t midnight_of(int year, int month, int day, int zone_h)
{
    struct ln_date date = {year, month, day, 0, 0, 0.0};
    return llround(ln_get_julian_day(&date) - 2440587.5) * 86400 - zone_h * 3600;
}

// The calculator's own closed form for the hour angle of sunrise, repeated with the clock of the event.
static double sunrise_by_hour_angle(int64_t noon_s, double lat_deg, double side)
{
    double event_s = (double)noon_s;
    for (int pass = 0; pass < 20; pass++) {
        sw_sun_clock at_noon, at_event;
        ck_assert_int_eq(sw_sun_clock_at(noon_s, &at_noon), SW_OK);
        ck_assert_int_eq(sw_sun_clock_at(llround(event_s), &at_event), SW_OK);
        double d = at_event.declination_rad, lat = lat_deg * degree;
        double hour_deg = acos(cos(90.833 * degree) / (cos(lat) * cos(d)) - tan(lat) * tan(d)) / degree;
        double drift_min = at_event.equation_of_time_min - at_noon.equation_of_time_min;
        event_s = (double)noon_s + side * 240.0 * hour_deg - 60.0 * drift_min;
    }
    return event_s;
}

// 2 s: each of the three events is rounded to a second.
START_TEST(bisection_finds_what_the_closed_form_settles_on)
{
    for (int lat_deg = -60; lat_deg <= 60; lat_deg += 5) {
        for (int day = 0; day < 365; day += 13) {
            sw_sun_times times;
            int64_t around_s = midnight_of(2024, 1, 1, 0) + day * 86400 + 43200;
            ck_assert_int_eq(sw_sun_times_near(around_s, lat_deg, 0.0, &times), SW_OK);
            ck_assert_double_eq_tol((double)times.rise_s, sunrise_by_hour_angle(times.noon_s, lat_deg, -1.0),
                                    2.0);
            ck_assert_double_eq_tol((double)times.set_s, sunrise_by_hour_angle(times.noon_s, lat_deg, 1.0),
                                    2.0);
        }
    }
}
END_TEST

static double height_deg(int64_t utc_s, double lat_deg, double lon_deg)
{
    sw_sun sun;
    ck_assert_int_eq(sw_sun_at(utc_s, lat_deg, lon_deg, &sun), SW_OK);
    return 90.0 - sun.zenith_deg;
}

// The nearest noon is at most half a solar day away; a solar day is 24 h +- 30 s.
START_TEST(noon_is_the_nearest_one_and_has_the_sun_on_the_meridian)
{
    for (int lon_deg = -540; lon_deg <= 540; lon_deg += 45) {
        for (int hour = 0; hour < 48; hour += 5) {
            int64_t around_s = midnight_of(2025, 2, 10, 0) + hour * 3600;
            sw_sun_times times;
            sw_sun sun;
            ck_assert_int_eq(sw_sun_times_near(around_s, 40.0, lon_deg, &times), SW_OK);
            ck_assert_int_le(llabs(times.noon_s - around_s), 43200 + 30);
            ck_assert_int_eq(sw_sun_at(times.noon_s, 40.0, lon_deg, &sun), SW_OK);
            // Half a second of time is 0.0021 deg of hour angle, 0.0025 deg of azimuth at this height.
            ck_assert_double_eq_tol(sun.azimuth_deg, 180.0, 0.003);
        }
    }
}
END_TEST

START_TEST(the_limb_is_up_at_sunrise_and_down_a_second_before)
{
    sw_sun_times times;
    ck_assert_int_eq(sw_sun_times_near(midnight_of(2026, 11, 6, -7) + 43200, 38.6, -109.6, &times), SW_OK);
    ck_assert_double_ge(height_deg(times.rise_s, 38.6, -109.6), -0.833);
    ck_assert_double_lt(height_deg(times.rise_s - 1, 38.6, -109.6), -0.833);
    ck_assert_double_ge(height_deg(times.set_s, 38.6, -109.6), -0.833);
    ck_assert_double_lt(height_deg(times.set_s + 1, 38.6, -109.6), -0.833);
}
END_TEST

START_TEST(polar_day_and_polar_night_are_answers)
{
    const struct {
        double lat_deg;
        int month;
        sw_daylight kind;
    } rows[] = {{70.0, 6, SW_POLAR_DAY},   {70.0, 12, SW_POLAR_NIGHT},  {-70.0, 6, SW_POLAR_NIGHT},
                {-70.0, 12, SW_POLAR_DAY}, {90.0, 6, SW_POLAR_DAY},     {90.0, 12, SW_POLAR_NIGHT},
                {-90.0, 12, SW_POLAR_DAY}, {65.0, 6, SW_DAY_AND_NIGHT}, {65.0, 12, SW_DAY_AND_NIGHT}};
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++) {
        sw_sun_times times;
        int64_t around_s = midnight_of(2010, rows[i].month, 21, 0) + 43200;
        ck_assert_int_eq(sw_sun_times_near(around_s, rows[i].lat_deg, 0.0, &times), SW_OK);
        ck_assert_int_eq(times.kind, rows[i].kind);
        int64_t half_s = times.kind == SW_POLAR_DAY ? 43200 : 0;
        if (times.kind != SW_DAY_AND_NIGHT) {
            ck_assert_int_eq(times.noon_s - times.rise_s, half_s);
            ck_assert_int_eq(times.set_s - times.noon_s, half_s);
        }
    }
}
END_TEST

// From new year at 70 N: night, days, one polar day, days, night; each change comes once.
/* On the edge of the polar summer the sun stays up through one of the two midnights alone: that is still a
   day with a sunrise or a sunset. */
START_TEST(a_day_with_one_bright_midnight_is_no_polar_day)
{
    int met = 0;
    for (double lat_deg = 66.0; lat_deg < 70.0; lat_deg += 0.05)
        for (int day = 120; day < 230; day++) {
            sw_sun_times times;
            int64_t around_s = midnight_of(2024, 1, 1, 0) + day * 86400 + 43200;
            ck_assert_int_eq(sw_sun_times_near(around_s, lat_deg, 0.0, &times), SW_OK);
            int no_rise = times.rise_s == times.noon_s - 43200, no_set = times.set_s == times.noon_s + 43200;
            met += no_rise != no_set;
            ck_assert_int_eq(times.kind, no_rise && no_set ? SW_POLAR_DAY : SW_DAY_AND_NIGHT);
        }
    ck_assert_int_gt(met, 20);
}
END_TEST

START_TEST(a_polar_year_has_its_seasons_in_order)
{
    const sw_daylight order[] = {SW_POLAR_NIGHT, SW_DAY_AND_NIGHT, SW_POLAR_DAY, SW_DAY_AND_NIGHT,
                                 SW_POLAR_NIGHT};
    size_t season = 0;
    for (int day = 0; day < 365; day++) {
        sw_sun_times times;
        ck_assert_int_eq(
            sw_sun_times_near(midnight_of(2023, 1, 1, 0) + day * 86400 + 43200, 70.0, 0.0, &times), SW_OK);
        ck_assert_int_le(times.rise_s, times.noon_s);
        ck_assert_int_le(times.noon_s, times.set_s);
        if (times.kind != order[season])
            season++;
        ck_assert_uint_lt(season, 5);
        ck_assert_int_eq(times.kind, order[season]);
    }
    ck_assert_uint_eq(season, 4);
}
END_TEST

START_TEST(times_out_of_range_are_refused_and_leave_the_answer_alone)
{
    sw_sun_times times = {.noon_s = -7};
    int64_t end_s = midnight_of(2101, 1, 1, 0), first_s = midnight_of(1900, 1, 1, 0);
    ck_assert_int_eq(sw_sun_times_near(end_s, 0.0, 0.0, &times), SW_OUT_OF_RANGE);
    ck_assert_int_eq(sw_sun_times_near(first_s - 1, 0.0, 0.0, &times), SW_OUT_OF_RANGE);
    ck_assert_int_eq(sw_sun_times_near(0, 91.0, 0.0, &times), SW_OUT_OF_RANGE);
    ck_assert_int_eq(sw_sun_times_near(0, 0.0, NAN, &times), SW_OUT_OF_RANGE);
    ck_assert_int_eq(times.noon_s, -7);
    // The events of the first and the last day may lie outside; they are told all the same.
    ck_assert_int_eq(sw_sun_times_near(first_s, 50.0, 179.0, &times), SW_OK);
    ck_assert_int_eq(sw_sun_times_near(end_s - 1, 50.0, -179.0, &times), SW_OK);
}
END_TEST

// The day's energy by brute force: the cosine of the zenith summed over the minutes of a day whose clock
// stands still. The minutes in which the sun rises and sets make an error of (pi/720)^2 of the noon's power
// at most: 2e-5 of it.
START_TEST(the_days_energy_is_the_sum_of_its_minutes)
{
    for (int lat_deg = -90; lat_deg <= 90; lat_deg += 6) {
        for (int day = 0; day < 365; day += 28) {
            int64_t noon_s = midnight_of(2026, 1, 1, 0) + day * 86400 + 43200;
            sw_sun_clock clock;
            ck_assert_int_eq(sw_sun_clock_at(noon_s, &clock), SW_OK);
            double sum_wh_m2 = 0.0;
            for (int minute = 0; minute < 1440; minute++) {
                sw_sun sun;
                sw_sun_from(&clock, noon_s + 60 * minute, lat_deg, 0.0, &sun);
                sum_wh_m2 += fmax(0.0, sun.cos_zenith) * clock.extraterrestrial_w_m2 / 60.0;
            }
            double wh_m2 = sw_sun_daily_extraterrestrial_wh_m2(&clock, lat_deg);
            ck_assert_double_eq_tol(wh_m2, sum_wh_m2, 2e-5 * clock.extraterrestrial_w_m2);
        }
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *tests[] = {
        bisection_finds_what_the_closed_form_settles_on,
        noon_is_the_nearest_one_and_has_the_sun_on_the_meridian,
        the_limb_is_up_at_sunrise_and_down_a_second_before,
        polar_day_and_polar_night_are_answers,
        a_day_with_one_bright_midnight_is_no_polar_day,
        a_polar_year_has_its_seasons_in_order,
        times_out_of_range_are_refused_and_leave_the_answer_alone,
        the_days_energy_is_the_sum_of_its_minutes,
        NULL,
    };
    return sw_suite_of("sun_day", tests, 30.0);
}
