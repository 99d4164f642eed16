// Tanks: what is taken and collected, what an arrival sets back, and when one ends.
#include "support/checks.h"
#include "support/random_files.h"
#include "support/small_plan.h"

#include "stillwatt/rehearsal.h"
#include "stillwatt/report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#define FAN  "\"fan\": {\"kind\": \"measured\", \"bus\": \"dc\", \"charge_per_day\": \"10 Ah\"}"
#define STAY "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}"

/* The small trip, 46 hours, with tanks, another load in the fan's place, and more in trip and stay. */
static rehearsed trip_with(const char *tanks, const char *load, const char *people, const char *stay)
{
    char van_text[500], trip_text[300];
    snprintf(van_text, sizeof van_text, "%s}, \"tanks\": {%s", load, tanks);
    snprintf(trip_text, sizeof trip_text, "\"van\": \"van.json\", %s,", people);
    char *van = text_with(small_van, FAN, van_text);
    char *with_people = text_with(small_trip, "\"van\": \"van.json\",", trip_text);
    char *trip = text_with(with_people, STAY, stay);
    rehearsed out = rehearse_texts(van, trip, 300);
    free(van);
    free(with_people);
    free(trip);
    return out;
}

static void check_tank(const rehearsed *x, sw_tank kind, double used, double serviced, double end,
                       double missing)
{
    const sw_tank_finding *t = &x->r->tanks.tank[kind];
    ck_assert_msg(fabs(t->used_l - used) < 1e-9 && fabs(t->serviced_l - serviced) < 1e-9 &&
                      fabs(t->end_l - end) < 1e-9 && fabs(t->short_l - missing) < 1e-9,
                  "tank %d: %.6f L used, %.6f L serviced, %.6f L at the end, %.6f L short", (int)kind,
                  t->used_l, t->serviced_l, t->end_l, t->short_l);
    ck_assert_int_eq(t->ends_at_s == INT64_MIN, missing == 0.0);
}

#define PUMP                                                                                                 \
    "\"fan\": {\"kind\": \"use\", \"bus\": \"dc\", \"power\": \"60 W\", \"each\": \"2 min\", \"at\": "       \
    "[\"07:00\", \"19:00\"], \"water\": \"5 L\""
#define ALL_TANKS                                                                                            \
    "\"fresh\": {\"capacity\": \"80 L\"}, \"grey\": {\"capacity\": \"60 L\"}, \"toilet\": {\"capacity\": "   \
    "\"20 L\", \"start\": \"50 %\"}"
#define TWO_PEOPLE                                                                                           \
    "\"people\": 2, \"water_per_person\": \"6 L\", \"drained\": \"75 %\", \"toilet_per_person\": \"1.2 L\""

/* 46 h of two people are 23 L of water, 17.25 L of it drained, and 4.6 L of the toilet; the pump runs on the
   6th at 19:00, on the 7th twice and on the 8th at 7:00, four times 5 L. */
START_TEST(people_by_the_day_and_loads_by_their_uses)
{
    rehearsed x = trip_with(ALL_TANKS, PUMP "}", TWO_PEOPLE, STAY);
    check_tank(&x, SW_TANK_FRESH, 43.0, 0.0, 37.0, 0.0);
    check_tank(&x, SW_TANK_GREY, 37.25, 0.0, 37.25, 0.0);
    check_tank(&x, SW_TANK_TOILET, 4.6, 0.0, 14.6, 0.0);
    ck_assert(isnan(x.r->trip.value[SW_LEDGER_FUEL]) && isnan(x.r->trip.value[SW_LEDGER_CAN]));
    ck_assert_double_eq(x.r->trip.value[SW_LEDGER_FRESH], x.r->tanks.tank[SW_TANK_FRESH].end_l);
    forget_rehearsed(&x);
}
END_TEST

START_TEST(water_goes_where_it_drains_to)
{
    rehearsed flushed = trip_with(ALL_TANKS, PUMP ", \"drains_to\": \"toilet\"}", TWO_PEOPLE, STAY);
    rehearsed gone = trip_with(ALL_TANKS, PUMP ", \"drains_to\": \"nowhere\"}", TWO_PEOPLE, STAY);
    check_tank(&flushed, SW_TANK_GREY, 17.25, 0.0, 17.25, 0.0);
    check_tank(&flushed, SW_TANK_TOILET, 10.0, 0.0, 20.0, 14.6); // 10 L of 24.6 L find room
    check_tank(&gone, SW_TANK_GREY, 17.25, 0.0, 17.25, 0.0);
    check_tank(&gone, SW_TANK_FRESH, 43.0, 0.0, 37.0, 0.0);
    forget_rehearsed(&flushed);
    forget_rehearsed(&gone);
}
END_TEST

/* Portions of an hour and of a day: 20 W at half duty for 46 h are 23 hours of running; a day's energy of 46
   h is 46/24 days. */
START_TEST(portions_follow_what_is_served)
{
    rehearsed hours =
        trip_with("\"fuel\": {\"capacity\": \"9 L\", \"start\": \"50 %\"}",
                  "\"fan\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"20 W\", \"duty\": "
                  "\"50 %\", \"count\": 2, \"fuel\": \"0.1 L\"}",
                  "\"people\": 1", STAY);
    rehearsed days =
        trip_with("\"fresh\": {\"capacity\": \"90 L\"}",
                  "\"fan\": {\"kind\": \"measured\", \"bus\": \"dc\", \"charge_per_day\": \"10 Ah\", "
                  "\"water\": \"12 L\"}",
                  "\"water_per_person\": \"0 L\"", STAY);
    check_tank(&hours, SW_TANK_FUEL, 4.5, 0.0, 0.0, 0.1); // two of them: 46 hours of 0.1 L are 4.6 L
    check_tank(&days, SW_TANK_FRESH, 23.0, 0.0, 67.0, 0.0);
    forget_rehearsed(&hours);
    forget_rehearsed(&days);
}
END_TEST

/* Fresh water of 8 L lasts 16 h for 12 L a day: from noon of the 6th until 4:00 of the 7th. What is not there
   runs nowhere: 8 L are drained, all of what was used. */
START_TEST(a_tank_ends_when_nothing_is_left_in_it)
{
    rehearsed x = trip_with("\"fresh\": {\"capacity\": \"8 L\"}, \"grey\": {\"capacity\": \"60 L\"}", FAN,
                            "\"people\": 2, \"water_per_person\": \"6 L\", \"drained\": \"100 %\"", STAY);
    check_tank(&x, SW_TANK_FRESH, 8.0, 0.0, 0.0, 15.0);
    check_tank(&x, SW_TANK_GREY, 8.0, 0.0, 8.0, 0.0);
    int64_t begin = x.r->course->itinerary->start_s;
    ck_assert_int_eq(x.r->tanks.tank[SW_TANK_FRESH].ends_at_s, begin + 16 * 3600);
    forget_rehearsed(&x);
}
END_TEST

/* The pump takes all 5 L in the hour from 19:00 on and finds nothing at 7:00: the water has been out since
   20:00. What is empty at the start ends there, though it is asked only at 19:00. */
START_TEST(a_tank_emptied_to_the_drop_ends_with_that_hour)
{
    const struct {
        const char *fresh;
        int64_t ends_h;
    } cases[] = {{"\"fresh\": {\"capacity\": \"5 L\"}", 8},
                 {"\"fresh\": {\"capacity\": \"5 L\", \"start\": \"0 %\"}", 0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        rehearsed x = trip_with(cases[i].fresh, PUMP "}", "\"water_per_person\": \"0 L\"", STAY);
        int64_t begin = x.r->course->itinerary->start_s;
        ck_assert_int_eq(x.r->tanks.tank[SW_TANK_FRESH].ends_at_s, begin + cases[i].ends_h * 3600);
        forget_rehearsed(&x);
    }
}
END_TEST

/* Three hours after the start, at 15:00, fresh water is filled and the waste emptied: 46 h - 3 h remain. */
START_TEST(an_arrival_fills_and_empties)
{
    rehearsed x =
        trip_with(ALL_TANKS, FAN, TWO_PEOPLE,
                  "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\", \"services\": [\"fresh\", \"grey\"]}");
    check_tank(&x, SW_TANK_FRESH, 23.0, 1.5, 80.0 - 21.5, 0.0);
    check_tank(&x, SW_TANK_GREY, 17.25, 1.125, 16.125, 0.0);
    check_tank(&x, SW_TANK_TOILET, 4.6, 0.0, 14.6, 0.0);
    forget_rehearsed(&x);
}
END_TEST

START_TEST(what_people_use_is_assumed_only_where_a_tank_counts_it)
{
    rehearsed counted = trip_with("\"toilet\": {\"capacity\": \"20 L\"}", FAN, "\"reserve\": \"20 %\"", STAY);
    rehearsed nothing = trip_with("\"can\": {\"capacity\": \"20 L\"}", FAN, "\"reserve\": \"20 %\"", STAY);
    ck_assert_ptr_nonnull(assumption_at(counted.plan, "trip /people"));
    ck_assert_ptr_nonnull(assumption_at(counted.plan, "trip /toilet_per_person"));
    ck_assert_ptr_null(assumption_at(counted.plan, "trip /water_per_person"));
    ck_assert_ptr_null(assumption_at(nothing.plan, "trip /people"));
    check_tank(&counted, SW_TANK_TOILET, 2.0 * 1.5 * 46.0 / 24.0, 0.0, 2.0 * 1.5 * 46.0 / 24.0, 0.0);
    forget_rehearsed(&counted);
    forget_rehearsed(&nothing);
}
END_TEST

#define TRIPS 300ul

/* Of random trips: what was there and what came is what went and what is left, and no tank leaves its bounds.
 */
START_TEST(every_litre_is_somewhere)
{
    unsigned long first = sw_random_seed(), trips = sw_random_cases(TRIPS);
    long ended = 0, fitted = 0;
    for (unsigned long seed = first; seed < first + trips; seed++) {
        random_files files;
        rehearsed x;
        random_files_make(seed, &files);
        random_files_rehearse(seed, &files, &x.plan, &x.r);
        for (int k = 0; k < SW_TANKS; k++) {
            const sw_tank_spec *spec = &x.plan->van->tank[k];
            const sw_tank_finding *t = &x.r->tanks.tank[k];
            if (isnan(spec->capacity_l))
                continue;
            double by_use = SW_TANK_FILLS(k) ? 1.0 : -1.0;
            double off = t->start_l + by_use * (t->used_l - t->serviced_l) - t->end_l;
            sw_expect(fabs(off) <= 1e-9 * (t->start_l + t->used_l + 1.0), "seed %lu, tank %d: off by %g L",
                      seed, k, off);
            for (int h = 0; h < x.r->hours; h++) {
                double level = x.r->hour[h].value[SW_LEDGER_FRESH + k];
                sw_expect(level >= 0.0 && level <= spec->capacity_l + 1e-9, "seed %lu, tank %d: %g L", seed,
                          k, level);
            }
            fitted++;
            ended += t->ends_at_s != INT64_MIN;
        }
        forget_rehearsed(&x);
        random_files_free(&files);
    }
    printf("%lu random trips from seed %lu, %ld tanks, %ld of them ended\n", trips, first, fitted, ended);
    ck_assert_int_ge(fitted, sw_random_least(400, TRIPS));
    ck_assert_int_ge(ended, sw_random_least(150, TRIPS));
}
END_TEST

/* A cooler that goes on without water is told of, once the tank is empty and not before. */
START_TEST(what_is_reckoned_on_without_its_tank_is_told)
{
    static const char *const litres[] = {"2 L", "500 L"};
    for (int i = 0; i < 2; i++) {
        char loads[600];
        snprintf(loads, sizeof loads,
                 "\"tanks\": {\"fresh\": {\"capacity\": \"%s\"}}, \"cabin\": {\"insulation\": \"some\"}, "
                 "\"loads\": {\"cooler\": {\"kind\": \"evaporative\", \"bus\": \"dc\", \"power\": \"40 W\", "
                 "\"airflow\": \"400 m3/h\", \"keeps\": \"10 C\"}, ",
                 litres[i]);
        char *van = text_with(small_van, "\"loads\": {", loads);
        rehearsed x = rehearse_texts(van, small_trip, 300);
        char *first = NULL, *second = NULL;
        ck_assert_int_eq(sw_report_verdict(x.r, &first, &second), SW_OK);
        ck_assert_int_eq(strstr(second, "the cooler is reckoned on as if it had water") != NULL, i == 0);
        free(first);
        free(second);
        forget_rehearsed(&x);
        free(van);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        people_by_the_day_and_loads_by_their_uses,
        water_goes_where_it_drains_to,
        portions_follow_what_is_served,
        a_tank_ends_when_nothing_is_left_in_it,
        a_tank_emptied_to_the_drop_ends_with_that_hour,
        an_arrival_fills_and_empties,
        what_people_use_is_assumed_only_where_a_tank_counts_it,
        every_litre_is_somewhere,
        what_is_reckoned_on_without_its_tank_is_told,
        NULL,
    };
    return sw_suite_of("tanks", tests, 120);
}
