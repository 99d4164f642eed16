// What an appliance takes of the battery, against the march of a van that has no other.
#include "stillwatt/portion.h"
#include "support/checks.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DAYS 3

/* Three whole days in one place, without a hookup; then, or not, ten days laid up. */
static char *days_of_stay(int is_stored)
{
    char legs[400];
    snprintf(legs, sizeof legs,
             "{\"stay\": \"mesa\", \"from\": \"2026-11-06 00:00\", \"to\": \"2026-11-09 00:00\"}%s",
             is_stored ? ", {\"store\": \"mesa\", \"to\": \"2026-11-19 00:00\"}" : "");
    const char *from = strstr(small_trip, "\"legs\": [") + strlen("\"legs\": ["),
               *to = strstr(from, "\n  ],");
    char *out = malloc(strlen(small_trip) + sizeof legs);
    ck_assert_ptr_nonnull(out);
    sprintf(out, "%.*s%s%s", (int)(from - small_trip), small_trip, legs, to);
    char *habits = strstr(out, ",\n  \"habits\"");
    memcpy(habits, "\n}\n", 4);
    return out;
}

/* The small van with one load, and its inverter on for as long as that needs it. */
static char *van_with(const char *load, const char *inverter_hours)
{
    const char *inverter = strstr(small_van, "\"inverter\"");
    char *out = malloc(strlen(small_van) + 600);
    ck_assert_ptr_nonnull(out);
    sprintf(
        out,
        "%.*s\"inverter\": {\"rating\": \"2000 W\", \"idle\": \"15 W\"%s%s},\n \"loads\": {\"it\": {%s}}}\n",
        (int)(inverter - small_van), small_van, inverter_hours[0] != '\0' ? ", \"hours\": " : "",
        inverter_hours, load);
    return out;
}

/* By the march: what goes to the load and to the inverter, each over as many portions as there are. */
START_TEST(portions_add_up_to_what_the_march_takes)
{
    static const struct {
        const char *load, *inverter_hours;
        double portions; // in three days
        sw_portion_of of;
        double socket_wh; // by hand; NAN: the march's
    } cases[] = {
        {"\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"12 W\", \"hours\": \"18:00-23:00\", \"count\": "
         "2",
         "\"00:00-00:01\"", 15, SW_PORTION_HOUR, 24.0},
        {"\"kind\": \"steady\", \"bus\": \"ac\", \"power\": \"60 W\", \"hours\": \"18:00-23:00\"",
         "\"18:00-23:00\"", 15, SW_PORTION_HOUR, 60.0},
        {"\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"900 W\", \"each\": \"10 min\", \"at\": "
         "[\"07:00\"]",
         "\"07:00-07:10\"", 3, SW_PORTION_USE, 150.0},
        {"\"kind\": \"steady\", \"bus\": \"ac\", \"power\": \"30 W\", \"hours\": \"22:00-06:00\", "
         "\"medical\": "
         "\"yes\"",
         "\"22:00-06:00\"", 24, SW_PORTION_HOUR, 30.0},
        {"\"kind\": \"steady\", \"bus\": \"ac\", \"power\": \"800 W\", \"duty\": \"25 %\", \"hours\": "
         "\"18:00-23:00\"",
         "\"18:00-23:00\"", 15, SW_PORTION_HOUR, 200.0},
        {"\"kind\": \"measured\", \"bus\": \"ac\", \"energy_per_day\": \"270 Wh\", \"hours\": "
         "\"22:00-07:00\", "
         "\"medical\": \"yes\"",
         "\"22:00-07:00\"", 3, SW_PORTION_DAY, 270.0},
        {"\"kind\": \"measured\", \"bus\": \"ac\", \"energy_per_day\": \"96 Wh\"", "", 3, SW_PORTION_DAY,
         96.0},
        {"\"kind\": \"fridge\", \"bus\": \"ac\", \"power\": \"60 W\"", "", 3, SW_PORTION_DAY, NAN},
        {"\"kind\": \"fridge\", \"bus\": \"dc\", \"power\": \"60 W\"", "\"00:00-00:01\"", 3, SW_PORTION_DAY,
         NAN},
    };
    char *trip = days_of_stay(0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *van = van_with(cases[i].load, cases[i].inverter_hours);
        rehearsed x = rehearse_texts(van, trip, 60);
        sw_portion p = sw_portion_of_load(x.r, 0);
        int is_ac = x.plan->van->load[0].bus == SW_BUS_AC;
        double served = x.r->trip.served_wh[0],
               taken = served + (is_ac ? x.r->trip.value[SW_LEDGER_INVERTER_LOSS] : 0.0);
        ck_assert_int_eq(x.r->days, DAYS);
        ck_assert_int_eq((int)p.of, (int)cases[i].of);
        if (!isnan(cases[i].socket_wh))
            ck_assert_double_eq_tol(p.socket_wh, cases[i].socket_wh, 1e-9);
        // Windows that pass midnight miss their first, or last, part at the trip's ends.
        double whole = cases[i].portions * p.socket_wh / served;
        sw_expect(whole > 0.99 && whole < 1.5, "case %zu: %g of the portions", i, whole);
        sw_expect(fabs(p.battery_wh * cases[i].portions / whole - taken) < 0.005 * taken,
                  "case %zu: portions of %g Wh, but the march takes %g Wh", i, p.battery_wh, taken);
        forget_rehearsed(&x);
        free(van);
    }
    free(trip);
}
END_TEST

/* 100 Ah of lithium give 100 A, some 1250 W; lead of as much, with an inverter that goes off at 11.5 V and a
   sturdy fuse, 104 A for AC: (12.75 - 11.5)/0.012. */
START_TEST(where_an_appliance_runs_hangs_on_what_carries_it)
{
    static const struct {
        const char *chemistry, *load;
        sw_runs runs;
    } cases[] = {
        {"lifepo4", "\"bus\": \"dc\", \"power\": \"900 W\"", SW_RUNS},
        {"lifepo4", "\"bus\": \"dc\", \"power\": \"700 W\", \"count\": 2", SW_RUNS_BEYOND_BATTERY},
        {"lifepo4", "\"bus\": \"ac\", \"power\": \"900 W\"", SW_RUNS_BY_INVERTER},
        {"lifepo4", "\"bus\": \"ac\", \"power\": \"1300 W\"", SW_RUNS_BEYOND_BATTERY},
        {"lifepo4", "\"bus\": \"ac\", \"power\": \"1100 W\", \"count\": 2", SW_RUNS_BEYOND_INVERTER},
        {"lifepo4", "\"bus\": \"ac\", \"power\": \"900 W\", \"when\": \"shore\"", SW_RUNS_AT_HOOKUP},
        {"lifepo4", "\"bus\": \"dc\", \"power\": \"90 W\", \"when\": \"shore\"", SW_RUNS_AT_HOOKUP},
        {"agm\", \"discharge_limit\": \"300 A", "\"bus\": \"dc\", \"power\": \"1400 W\"", SW_RUNS},
        {"agm\", \"discharge_limit\": \"300 A", "\"bus\": \"ac\", \"power\": \"1400 W\"",
         SW_RUNS_BEYOND_BATTERY},
        {"agm\", \"discharge_limit\": \"300 A", "\"bus\": \"ac\", \"power\": \"800 W\"", SW_RUNS_BY_INVERTER},
    };
    char *trip = days_of_stay(0);
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char van[900];
        snprintf(van, sizeof van,
                 "{\"format\": \"stillwatt van 1\", \"name\": \"v\", \"battery\": {\"chemistry\": \"%s\", "
                 "\"capacity\": "
                 "\"100 Ah\", \"unit_voltage\": \"12 V\"}, \"inverter\": {\"rating\": \"2000 W\", "
                 "\"cut_out\": \"11.5 V\"}, "
                 "\"loads\": {\"it\": {\"kind\": \"use\", \"each\": \"1 min\", \"at\": [\"12:00\"], %s}}}",
                 cases[i].chemistry, cases[i].load);
        rehearsed x = rehearse_texts(van, trip, 300);
        sw_expect(sw_where_runs(x.r, 0) == cases[i].runs, "case %zu: %d", i, (int)sw_where_runs(x.r, 0));
        // The march, from a full battery in the first noon, says the same.
        int is_served = x.r->day[0].asked_wh[0] > 0.0 && x.r->day[0].served_wh[0] > 0.0;
        sw_expect(is_served == (cases[i].runs == SW_RUNS || cases[i].runs == SW_RUNS_BY_INVERTER),
                  "case %zu: served %d", i, is_served);
        forget_rehearsed(&x);
    }
    free(trip);
}
END_TEST

/* A fridge that is off while the van is laid up takes no less on a day that is lived. */
START_TEST(time_laid_up_is_no_day_of_use)
{
    char *trip[] = {days_of_stay(0), days_of_stay(1)};
    char *van = van_with("\"kind\": \"fridge\", \"bus\": \"dc\", \"power\": \"60 W\"", "");
    double wh[2];
    for (int i = 0; i < 2; i++) {
        rehearsed x = rehearse_texts(van, trip[i], 300);
        wh[i] = sw_portion_of_load(x.r, 0).battery_wh;
        ck_assert_int_eq(x.r->trip.value[SW_LEDGER_STORED_H] > 200.0, i);
        forget_rehearsed(&x);
        free(trip[i]);
    }
    ck_assert_double_gt(wh[0], 50.0);
    ck_assert_double_eq_tol(wh[1], wh[0], 0.02 * wh[0]);
    free(van);
}
END_TEST

/* Doing without it saves what the sockets and their conversion take, by the march: of a van with its inverter
   always on, the rest is idle draw. */
START_TEST(what_is_saved_knows_no_idle_draw)
{
    char *trip = days_of_stay(0);
    char *van = van_with("\"kind\": \"measured\", \"bus\": \"ac\", \"energy_per_day\": \"96 Wh\"", "");
    rehearsed x = rehearse_texts(van, trip, 300);
    double taken = (x.r->trip.served_wh[0] + x.r->trip.value[SW_LEDGER_INVERTER_LOSS]) / DAYS - 24.0 * 15.0;
    ck_assert_double_eq_tol(sw_battery_wh(x.r, 0, 96.0), taken, 1e-6);
    ck_assert_double_gt(sw_battery_wh(x.r, 0, 96.0), 96.0);
    forget_rehearsed(&x);
    free(van);
    free(trip);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        portions_add_up_to_what_the_march_takes,
        where_an_appliance_runs_hangs_on_what_carries_it,
        time_laid_up_is_no_day_of_use,
        what_is_saved_knows_no_idle_draw,
        NULL,
    };
    return sw_suite_of("portion", tests, 120);
}
