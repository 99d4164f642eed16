// Dirt that grows with dry days: by hand, and in the light that a trip's panels are given.
#include "stillwatt/course.h"
#include "stillwatt/series.h"
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"
#include "trip/dirt.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define DAY_S 86400

static const sw_leg unwashed = {.washed_local_s = SW_NO_TIME};

/* Rain of 6 mm in a day cleans, dirt stops growing at 30 % [kimber-2006]. */
START_TEST(it_grows_by_the_day_and_a_day_of_rain_takes_it_off)
{
    sw_array_spec array = {.soiling = 0.04, .soiling_per_day = 0.002};
    roof_dirt dirt = {0};
    sw_dirt_pass(&dirt, &unwashed, 10 * DAY_S, 10 * DAY_S, NAN);
    ck_assert_double_eq_tol(sw_dirt_loss(&dirt, &array, 10 * DAY_S), 0.06, 1e-15);
    // 5.9 mm before midnight and 5.9 after are two days that do not clean.
    sw_dirt_pass(&dirt, &unwashed, 11 * DAY_S - 60, 11 * DAY_S - 60, 5.9);
    sw_dirt_pass(&dirt, &unwashed, 11 * DAY_S, 11 * DAY_S, 5.9);
    ck_assert_double_eq_tol(sw_dirt_loss(&dirt, &array, 11 * DAY_S), 0.062, 1e-15);
    sw_dirt_pass(&dirt, &unwashed, 11 * DAY_S + 60, 11 * DAY_S + 60, 0.2);
    ck_assert_double_eq(sw_dirt_loss(&dirt, &array, 11 * DAY_S + 60), 0.0);
    ck_assert_double_eq_tol(sw_dirt_loss(&dirt, &array, 12 * DAY_S + 60), 0.002, 1e-15);
    ck_assert_double_eq(sw_dirt_loss(&dirt, &array, 999 * DAY_S), 0.3);
}
END_TEST

START_TEST(what_is_dirtier_than_that_stays_so_and_what_does_not_grow_stays)
{
    roof_dirt dirt = {.washed = 1};
    ck_assert_double_eq(sw_dirt_loss(&dirt, &(sw_array_spec){.soiling = 0.04}, 99 * DAY_S), 0.04);
    dirt.washed = 0;
    sw_array_spec filthy = {.soiling = 0.4, .soiling_per_day = 0.01};
    ck_assert_double_eq(sw_dirt_loss(&dirt, &filthy, 99 * DAY_S), 0.4);
}
END_TEST

START_TEST(each_leg_is_washed_by_hand_once)
{
    sw_array_spec array = {.soiling = 0.04, .soiling_per_day = 0.002};
    const sw_leg leg = {.washed_local_s = 2 * DAY_S};
    roof_dirt dirt = {0};
    sw_dirt_pass(&dirt, &leg, 3 * DAY_S, 2 * DAY_S - 1, NAN); // its clock is a day behind
    ck_assert_int_eq(dirt.washed, 0);
    sw_dirt_pass(&dirt, &leg, 3 * DAY_S + 60, 2 * DAY_S + 59, NAN);
    sw_dirt_pass(&dirt, &leg, 4 * DAY_S + 60, 3 * DAY_S + 59, NAN);
    ck_assert_double_eq_tol(sw_dirt_loss(&dirt, &array, 4 * DAY_S + 60), 0.002, 1e-15);
}
END_TEST

// ---- in a trip ----

#define ROOF "\"rating\": \"200 W\", \"panels\": 2"
#define CAMP "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}"

/* A record of the small trip's three days: 400 W/m2 by day, and rain in one hour. */
static sw_series *record_with_rain(int rainy_day, int rainy_hour, double rain_mm)
{
    static char text[16000];
    int n = snprintf(text, sizeof text,
                     "# stillwatt weather 1\n# place: Made up\n# latitude: 38.5\n# longitude: -109.6\n"
                     "# elevation: 1500 m\nbegin,ghi [W/m2],air [C],rain [mm]\n");
    for (int day = 4; day < 11; day++)
        for (int hour = 0; hour < 24; hour++)
            n += snprintf(text + n, sizeof text - (size_t)n, "2026-11-%02dT%02d:00-07:00,%d,8,%.1f\n", day,
                          hour, hour >= 8 && hour < 16 ? 400 : 0,
                          day == rainy_day && hour == rainy_hour ? rain_mm : 0.0);
    sw_messages *messages = sw_messages_create();
    sw_series *series = NULL;
    sw_status status = sw_weather_read(text, (size_t)n, "made.csv", messages, &series);
    print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return series;
}

/* Light kept by the dirt of the last sunny hour of 7 November (15:30), against panels whose dirt stays. */
static double kept_in_the_end(const char *array, const char *camp, const sw_series *series)
{
    const char *arrays[] = {ROOF, array};
    double yield[2];
    for (int i = 0; i < 2; i++) {
        char *van = text_with(small_van, ROOF, arrays[i]), *trip = text_with(small_trip, CAMP, camp);
        sw_plan *plan = plan_of_trip(van, trip);
        memory_file file[] = {{NULL, NULL}};
        memory_files files = {.file = file};
        sw_loader loader = memory_loader(&files);
        sw_messages *messages = sw_messages_create();
        sw_course *course;
        plan->trip->sky.kind = series != NULL ? SW_SKY_HOURLY : plan->trip->sky.kind;
        plan->trip->sky.series = series;
        ck_assert_int_eq(sw_course_make(plan, &loader, 300, messages, &course), SW_OK);
        yield[i] = course->forcing[0].yield[0][(27 * 60 + 30) / 5]; // from 6 November 12:00
        sw_course_free(course);
        sw_messages_free(messages);
        sw_plan_free(plan);
        free(trip);
        free(van);
    }
    ck_assert_double_gt(yield[0], 0.01);
    return yield[1] / yield[0];
}

/* 2 % a day, from the middle of the step: 27 h 32 min 30 s after the start. */
START_TEST(the_light_of_a_trip_grows_dimmer_with_dry_days)
{
    double loss = 0.05 + 0.02 * (27.5 + 2.5 / 60.0) / 24.0;
    double kept = kept_in_the_end(ROOF ", \"soiling\": \"5 %\", \"soiling_per_day\": \"2 %\"", CAMP, NULL);
    ck_assert_double_eq_tol(kept, (1.0 - loss) / 0.95, 1e-12);
}
END_TEST

/* Washed at 9:00 on the 7th, first seen in the middle of the slice after: 6 h 30 min before. The other panels
   lose their 4 % by the same wash. */
START_TEST(a_wash_in_the_trip_brings_the_light_back)
{
    double kept = kept_in_the_end(
        ROOF ", \"soiling\": \"5 %\", \"soiling_per_day\": \"2 %\"",
        "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\", \"washed\": \"2026-11-07 09:00\"}", NULL);
    ck_assert_double_eq_tol(kept, (1.0 - 0.02 * 6.5 / 24.0) / 0.95 * 0.96, 1e-12);
}
END_TEST

/* 12 mm between 8:00 and 9:00: half of it has fallen by 8:30, and the roof is clean from then until the rain
   ends at 9:00 (the last slice's middle is at 8:57:30). */
START_TEST(rain_of_a_record_washes_and_a_shower_does_not)
{
    const char *array = ROOF ", \"soiling\": \"5 %\", \"soiling_per_day\": \"2 %\"";
    sw_series *rain = record_with_rain(7, 8, 12.0), *shower = record_with_rain(7, 8, 5.5);
    double gone = 0.05 + 0.02 * (27.5 + 2.5 / 60.0) / 24.0;
    ck_assert_double_eq_tol(kept_in_the_end(array, CAMP, shower), (1.0 - gone) / 0.95, 1e-12);
    double kept = kept_in_the_end(array, CAMP, rain);
    ck_assert_double_gt(kept, (1.0 - 0.02 * 16.0 / 24.0) / 0.95);
    ck_assert_double_le(kept, 1.0 / 0.95);
    sw_series_free(rain);
    sw_series_free(shower);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        it_grows_by_the_day_and_a_day_of_rain_takes_it_off,
        what_is_dirtier_than_that_stays_so_and_what_does_not_grow_stays,
        each_leg_is_washed_by_hand_once,
        the_light_of_a_trip_grows_dimmer_with_dry_days,
        a_wash_in_the_trip_brings_the_light_back,
        rain_of_a_record_washes_and_a_shower_does_not,
        NULL,
    };
    return sw_suite_of("dirt", tests, 60);
}
