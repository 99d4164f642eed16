// What a system can do, against trips that do just that.
#include "stillwatt/limits.h"
#include "stillwatt/report.h"
#include "support/checks.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LOADS(text) "\"loads\": {" text

/* The small van with one steady load and its trip; `battery` goes into its battery's keys. */
static char *plain_van(const char *sources)
{
    char *van = malloc(4000);
    ck_assert_ptr_nonnull(van);
    snprintf(
        van, 4000,
        "{\"format\": \"stillwatt van 1\", \"name\": \"plain\", \"battery\": {\"chemistry\": \"lifepo4\", "
        "\"capacity\": \"100 Ah\", \"unit_voltage\": \"12 V\"}, %s\"loads\": {\"box\": {\"kind\": "
        "\"steady\", "
        "\"bus\": \"dc\", \"power\": \"40 W\"}}}",
        sources);
    return van;
}

#define SOURCES                                                                                              \
    "\"arrays\": {\"roof\": {\"rating\": \"100 W\", \"panels\": 1}}, \"controller\": {\"limit\": \"30 "      \
    "A\"}, "                                                                                                 \
    "\"alternator\": {\"converter_output\": \"360 W\"}, \"shore\": {\"inlet_current\": \"15 A\", "           \
    "\"inlet_voltage\": \"120 V\", \"charger_output\": \"500 W\"}, "

static sw_limits *limits_of(const sw_rehearsal *r)
{
    sw_messages *messages = sw_messages_create();
    sw_limits *out = NULL;
    sw_status status = sw_find_limits(r, messages, &out);
    print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return out;
}

static char *trip_from(const char *begin, const char *until, const char *more)
{
    char *trip = malloc(2000);
    ck_assert_ptr_nonnull(trip);
    snprintf(trip, 2000,
             "{\"format\": \"stillwatt trip 1\", \"name\": \"t\", \"van\": \"van.json\", %s \"places\": "
             "{\"mesa\": "
             "{\"latitude\": 38.5, \"longitude\": -109.6, \"elevation\": \"1500 m\", \"zone\": "
             "\"America/Denver\"}}, \"legs\": [{\"stay\": \"mesa\", \"from\": \"%s\", \"to\": \"%s\"}]}",
             more, begin, until);
    return trip;
}

/* 100 W more at hookups only, and a hookup all the time or on the first days: nothing of it counts without
   one. The day that is taken has no hookup where there is such a day. */
START_TEST(what_runs_at_a_hookup_only_does_not_count_without_one)
{
#define PLUGGED ", \"hookup\": {\"current\": \"15 A\", \"voltage\": \"120 V\"}}"
    static const char *const cases[] = {
        "\"to\": \"2026-11-13 00:00\"}", "\"to\": \"2026-11-13 00:00\"" PLUGGED,
        "\"to\": \"2026-11-09 00:00\"" PLUGGED ", {\"stay\": \"mesa\", \"to\": \"2026-11-13 00:00\"}"};
    char *van = plain_van(SOURCES), *trip = trip_from("2026-11-06 00:00", "2026-11-13 00:00", "");
    char *more =
        text_with(van, "\"loads\": {",
                  "\"loads\": {\"heater\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"100 W\", "
                  "\"hours\": \"18:00-23:00\", \"when\": \"shore\"}, ");
    rehearsed plain = rehearse_texts(van, trip, 300);
    sw_limits *bare = limits_of(plain.r);
    for (int i = 0; i < 3; i++) {
        char *stay = text_with(trip, cases[0], cases[i]);
        rehearsed x = rehearse_texts(more, stay, 300);
        sw_limits *l = limits_of(x.r);
        ck_assert_double_eq_tol(l->nights, bare->nights, 0.01 * bare->nights);
        ck_assert_double_eq_tol(l->use_wh, bare->use_wh, 0.01 * bare->use_wh);
        ck_assert_int_eq(l->ordinary_day >= 3, i == 2);
        // What is left at the end is told over such use as well; only a hookup leaves something here.
        ck_assert_int_eq(x.r->usable_wh_left > 0.0, i == 1);
        if (i == 1)
            ck_assert_double_eq_tol(x.r->usable_wh_left / x.r->days_left, bare->use_wh, 0.02 * bare->use_wh);
        sw_limits_free(l);
        forget_rehearsed(&x);
        free(stay);
    }
    sw_limits_free(bare);
    forget_rehearsed(&plain);
    free(more);
    free(trip);
    free(van);
}
END_TEST

/* Midsummer in full days: sunrise is not in the last day's morning hours only because the trip ends. */
START_TEST(hours_of_sun_count_from_the_first_light)
{
    char *van = plain_van(SOURCES), *idle = text_with(van, "\"power\": \"40 W\"", "\"power\": \"4 W\"");
    char *day = trip_from("2026-06-06 00:00", "2026-06-07 00:00", ""),
         *days = trip_from("2026-06-06 00:00", "2026-06-10 00:00", "");
    rehearsed x = rehearse_texts(idle, day, 300), y = rehearse_texts(idle, days, 300);
    sw_limits *one = limits_of(x.r), *four = limits_of(y.r);
    ck_assert_double_lt(four->refill_h[SW_REFILL_SUN], 48.0);
    ck_assert_double_eq_tol(one->refill_h[SW_REFILL_SUN], four->refill_h[SW_REFILL_SUN], 1.0);
    sw_limits_free(one);
    sw_limits_free(four);
    forget_rehearsed(&x);
    forget_rehearsed(&y);
    free(day);
    free(days);
    free(idle);
    free(van);
}
END_TEST

/* From full with no source at all, in a trip of a week: the same hours until the reserve line. */
START_TEST(nights_without_sun_are_those_of_a_van_without_sources)
{
    char *van = plain_van(SOURCES), *bare = plain_van(""),
         *trip = trip_from("2026-11-06 00:00", "2026-11-13 00:00", "");
    rehearsed x = rehearse_texts(van, trip, 300), without = rehearse_texts(bare, trip, 300);
    sw_limits *l = limits_of(x.r);
    double days = (double)(without.r->outcome.under_at_s - without.r->trip.start_s) / 86400.0;
    // The controller's watt is in the one and not in the other.
    ck_assert_double_eq_tol(l->nights * 41.0, days * 40.0, 0.02 * 41.0);
    ck_assert(l->nights > 0.8 && l->nights < 1.2); // 100 Ah, 95 %, 13 V: 1.2 kWh, 80 % of it, over 41 W
    double drawn_wh = 24.0 - without.r->day[0].value[SW_LEDGER_STORED];
    ck_assert_double_eq_tol(l->use_wh, drawn_wh, 0.005 * drawn_wh);
    ck_assert_double_eq_tol(l->use_wh, 984.0 + 7.2, 0.01 * 984.0); // its management takes 0.3 W
    ck_assert_double_eq_tol(l->nights * l->use_wh, x.r->usable_wh, 0.01 * x.r->usable_wh);
    sw_limits_free(l);
    forget_rehearsed(&x);
    forget_rehearsed(&without);
    free(trip);
    free(bare);
    free(van);
}
END_TEST

/* A reserve line of nothing: 95 Ah at 13.2 V over 41 W are 30 h, and then the battery is empty. */
START_TEST(a_battery_without_a_reserve_runs_empty)
{
    char *van = plain_van(SOURCES),
         *trip = trip_from("2026-11-06 00:00", "2026-11-13 00:00", "\"reserve\": \"0 %\",");
    rehearsed x = rehearse_texts(van, trip, 300);
    sw_limits *l = limits_of(x.r);
    ck_assert_double_eq_tol(l->nights * 24.0, 95.0 * 13.2 / 41.0, 1.5);
    sw_limits_free(l);
    forget_rehearsed(&x);
    free(trip);
    free(van);
}
END_TEST

static double hours_to(const sw_rehearsal *r, double charge_pct)
{
    for (int h = 0; h < r->hours; h++)
        if (r->hour[h].value[SW_LEDGER_CHARGE] >= charge_pct)
            return h + 1;
    return INFINITY;
}

/* 60 % of 95 Ah at 13.3 V and 97 % and more into the battery: 780 Wh, of 500 W at the hookup, of 360 W on the
   road; the hours of a trip at a hookup with its load switched off say the same, to the hour. */
START_TEST(refilling_takes_the_hours_of_a_trip_that_refills)
{
    char *van = plain_van(SOURCES), *trip = trip_from("2026-11-06 00:00", "2026-11-09 00:00", "");
    char *idle = text_with(van, "\"power\": \"40 W\"", "\"power\": \"0 W\"");
    char *low = trip_from("2026-11-06 18:00", "2026-11-07 06:00", "\"start_charge\": \"20 %\",");
    char *plugged = text_with(
        low, "\"to\": \"2026-11-07 06:00\"",
        "\"to\": \"2026-11-07 06:00\", \"hookup\": {\"current\": \"15 A\", \"voltage\": \"120 V\"}");
    rehearsed x = rehearse_texts(van, trip, 300), hand = rehearse_texts(idle, plugged, 300);
    sw_limits *l = limits_of(x.r);
    ck_assert_double_eq(ceil(l->refill_h[SW_REFILL_HOOKUP]), hours_to(hand.r, 80.0));
    ck_assert_double_eq_tol(l->refill_h[SW_REFILL_HOOKUP], 780.0 / 500.0, 0.1);
    ck_assert_double_eq_tol(l->refill_h[SW_REFILL_DRIVE], 780.0 / 360.0, 0.15);
    ck_assert(l->refill_h[SW_REFILL_SUN] > 24.0 &&
              l->refill_h[SW_REFILL_POOR_SUN] > l->refill_h[SW_REFILL_SUN]);
    sw_limits_free(l);
    forget_rehearsed(&x);
    forget_rehearsed(&hand);
    free(plugged);
    free(low);
    free(idle);
    free(trip);
    free(van);
}
END_TEST

/* A trip that begins at the sunset (17:10) with the mark stays on the line in its poor day; with a point less
   it does not. */
START_TEST(the_evening_mark_just_lasts_the_day)
{
    char *light = plain_van(SOURCES), *van = text_with(light, "\"power\": \"40 W\"", "\"power\": \"18 W\"");
    char *trip = trip_from("2026-11-06 12:00", "2026-11-09 12:00", "");
    rehearsed x = rehearse_texts(van, trip, 300);
    sw_limits *l = limits_of(x.r);
    ck_assert_int_eq(l->by_poor_week, 1);
    ck_assert_int_eq(l->evenings, 3);
    int64_t local_s = l->evening[0].sunset_s - 7 * 3600;
    for (int less = 0; less < 2; less++) {
        char from[32], to[32], start[60];
        snprintf(from, sizeof from, "2026-11-06 %02d:%02d", (int)(local_s / 3600 % 24),
                 (int)(local_s / 60 % 60));
        snprintf(to, sizeof to, "2026-11-07 %02d:%02d", (int)(local_s / 3600 % 24), (int)(local_s / 60 % 60));
        snprintf(start, sizeof start, "\"start_charge\": \"%.2f %%\",",
                 100.0 * l->evening[0].mark + (less ? -1.0 : 0.3));
        char *night = trip_from(from, to, start);
        rehearsed hand = rehearse_texts(van, night, 300);
        ck_assert_int_eq(hand.r->poor.under_h > 0.0, less);
        forget_rehearsed(&hand);
        free(night);
    }
    ck_assert(l->evening[0].mark > 0.3 && l->evening[0].mark < 0.6);
    sw_limits_free(l);
    forget_rehearsed(&x);
    free(trip);
    free(van);
    free(light);
}
END_TEST

/* 40 W are 960 Wh until the next evening, more than 80 % of 1.2 kWh with what a poor day leaves out. */
START_TEST(where_a_full_battery_is_not_enough_there_is_no_mark)
{
    char *light = plain_van(SOURCES), *van = text_with(light, "\"power\": \"40 W\"", "\"power\": \"90 W\"");
    char *trip = trip_from("2026-11-06 12:00", "2026-11-09 12:00", "");
    rehearsed x = rehearse_texts(van, trip, 300);
    sw_limits *l = limits_of(x.r);
    ck_assert(isinf(l->evening[0].mark));
    sw_limits_free(l);
    forget_rehearsed(&x);
    free(trip);
    free(van);
    free(light);
}
END_TEST

/* 2000 W of inverter, 3600 VA of inlet: kettle 900 W, hob 1500 W, oven 2900 W, of which there are two at
 * once. */
START_TEST(what_is_too_much_together_is_named)
{
    char *van = text_with(
        small_van, LOADS(""),
        LOADS("\"hob\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"1500 W\", \"each\": \"9 min\", "
              "\"uses\": 1}, \"oven\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"2900 W\", "
              "\"each\": \"9 min\", \"uses\": 0.1}, "));
    char *trip = text_with(small_trip, "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}",
                           "{\"stay\": \"mesa\", \"to\": \"2026-11-09 10:00\"}");
    rehearsed x = rehearse_texts(van, trip, 300);
    sw_limits *l = limits_of(x.r);
    int met[4] = {0};
    for (int i = 0; i < l->clashes.count; i++) {
        const sw_clash *c = &l->clashes.clash[i];
        const char *a = x.plan->van->load[c->load].name,
                   *b = c->other >= 0 ? x.plan->van->load[c->other].name : "";
        met[0] += strcmp(a, "oven") == 0 && b[0] == '\0' && c->inverter && !c->inlet;
        met[1] += strcmp(a, "hob") == 0 && strcmp(b, "kettle") == 0 && c->inverter && !c->inlet &&
                  c->power_w == 2400.0;
        met[2]++;
        met[3] += (strcmp(a, "oven") == 0 || strcmp(b, "oven") == 0) && b[0] != '\0' && !c->inverter &&
                  c->inlet && c->power_w > 3600.0;
    }
    ck_assert(met[0] == 1 && met[1] == 1 && met[3] == 2 && met[2] == 4);
    sw_limits_free(l);
    forget_rehearsed(&x);
    free(trip);
    free(van);
}
END_TEST

/* A heater of 900 W at hookups only, hours long, and a router of 100 W always on, behind 600 W of inverter:
   without a hookup the router runs alone, as in a van that has no heater. */
START_TEST(what_runs_long_at_a_hookup_takes_no_inverter_away)
{
#define ROUTER "\"router\": {\"kind\": \"steady\", \"bus\": \"ac\", \"power\": \"100 W\"}, "
#define HEATER                                                                                               \
    "\"heater\": {\"kind\": \"steady\", \"bus\": \"ac\", \"power\": \"900 W\", \"when\": \"shore\"}, "
    char *van = plain_van(SOURCES "\"inverter\": {\"rating\": \"600 W\"}, ");
    char *trip = trip_from("2026-11-06 00:00", "2026-11-09 00:00", "");
    char *plugged = text_with(
        trip, "\"to\": \"2026-11-09 00:00\"}",
        "\"to\": \"2026-11-09 00:00\", \"hookup\": {\"current\": \"15 A\", \"voltage\": \"120 V\"}}");
    static const char *const loads[] = {"\"loads\": {" ROUTER, "\"loads\": {" HEATER ROUTER};
    double nights[2];
    for (int i = 0; i < 2; i++) {
        char *with = text_with(van, "\"loads\": {", loads[i]);
        rehearsed x = rehearse_texts(with, plugged, 300);
        sw_limits *l = limits_of(x.r);
        nights[i] = l->nights;
        sw_limits_free(l);
        forget_rehearsed(&x);
        free(with);
    }
    ck_assert_double_lt(nights[0], 1.0);
    ck_assert_double_eq_tol(nights[1], nights[0], 1e-9);
    free(plugged);
    free(trip);
    free(van);
}
END_TEST

/* Where the inverter sags out before the line is met, its loads end the nights, as they end a stay. */
START_TEST(an_inverter_that_sags_ends_the_nights)
{
    static const char van[] = "{\"format\": \"stillwatt van 1\", \"name\": \"v\", \"battery\": "
                              "{\"chemistry\": \"agm\", \"capacity\": \"100 Ah\", "
                              "\"unit_voltage\": \"12 V\"}, \"inverter\": {\"rating\": \"1500 W\", "
                              "\"cut_out\": \"11.5 V\"}, \"loads\": {\"kettle\": "
                              "{\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"700 W\", \"each\": \"6 "
                              "min\", \"at\": [\"07:00\", \"19:00\"]}, "
                              "\"light\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"3 W\"}}}";
    char *trip = trip_from("2026-11-06 00:00", "2026-11-16 00:00", "");
    rehearsed x = rehearse_texts(van, trip, 300);
    sw_limits *l = limits_of(x.r);
    ck_assert_int_eq(x.r->outcome.short_why, SW_MISSED_SAG);
    double days = (double)(x.r->outcome.short_at_s - x.r->trip.start_s) / 86400.0;
    ck_assert_double_gt(days, 0.5);
    ck_assert_double_eq_tol(l->nights, days, 0.02);
    sw_limits_free(l);
    forget_rehearsed(&x);
    free(trip);
}
END_TEST

/* What never meets is no clash: the oven at a hookup only, the kettle off grid only. At the trip's hookup of
   6 A and 230 V, 1380 VA, a heater of 2 kW is too much alone, though the inlet bears it. */
START_TEST(clashes_are_of_what_meets_and_of_the_weakest_hookup)
{
    static const char van[] = "{\"format\": \"stillwatt van 1\", \"name\": \"v\", \"battery\": "
                              "{\"chemistry\": \"lifepo4\", \"capacity\": \"200 Ah\", "
                              "\"unit_voltage\": \"12 V\"}, \"inverter\": {\"rating\": \"1000 W\"}, "
                              "\"shore\": {\"inlet_current\": \"16 A\", "
                              "\"inlet_voltage\": \"230 V\", \"charger_output\": \"300 W\"}, \"loads\": {"
                              "\"oven\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"1300 W\", "
                              "\"each\": \"9 min\", \"uses\": 1, \"when\": \"shore\"}, "
                              "\"kettle\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"700 W\", "
                              "\"each\": \"5 min\", \"uses\": 1, \"when\": \"off-grid\"}, "
                              "\"heater\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"2000 W\", "
                              "\"each\": \"9 min\", \"uses\": 1, \"when\": \"shore\"}}}";
    char *trip = trip_from("2026-11-06 00:00", "2026-11-09 00:00", "");
    char *plugged =
        text_with(trip, "\"to\": \"2026-11-09 00:00\"}",
                  "\"to\": \"2026-11-08 00:00\"}, {\"stay\": \"mesa\", \"to\": \"2026-11-09 00:00\", "
                  "\"hookup\": {\"current\": \"6 A\", \"voltage\": \"230 V\"}}");
    rehearsed x = rehearse_texts(van, plugged, 300);
    sw_limits *l = limits_of(x.r);
    ck_assert_double_eq_tol(l->clashes.hookup_va, 1380.0, 1e-9);
    ck_assert_int_eq(l->clashes.count, 1); // nor is a pair told of what is too much alone
    const sw_clash *alone = &l->clashes.clash[0];
    ck_assert(alone->load == 2 && alone->other == -1 && alone->inlet && !alone->inverter && !alone->battery);
    sw_limits_free(l);
    forget_rehearsed(&x);
    free(plugged);
    free(trip);
}
END_TEST

/* 20 Ah do not last a day of 45 W by night and 25 W by day; what the day takes is what it takes of 100 Ah. */
START_TEST(what_a_day_takes_does_not_hang_on_the_battery)
{
    char *large = plain_van(""), *small = text_with(large, "\"100 Ah\"", "\"20 Ah\"");
    char *trip = trip_from("2026-11-06 00:00", "2026-11-09 00:00", "");
    const char *vans[] = {large, small};
    double wh[2], nights[2];
    for (int i = 0; i < 2; i++) {
        rehearsed x = rehearse_texts(vans[i], trip, 300);
        sw_limits *l = limits_of(x.r);
        wh[i] = l->use_wh;
        nights[i] = l->nights;
        sw_limits_free(l);
        forget_rehearsed(&x);
    }
    ck_assert_double_lt(nights[1], 0.3);
    ck_assert_double_eq_tol(wh[1], wh[0], 0.01 * wh[0]);
    free(trip);
    free(small);
    free(large);
}
END_TEST

/* A bank outside in January that gives nothing at 5 C and less gives nothing at all, and is said not to. */
START_TEST(cold_ends_the_nights_and_is_told)
{
    char *warm = plain_van(""), *cold = text_with(warm, "\"unit_voltage\": \"12 V\"",
                                                  "\"unit_voltage\": \"12 V\", \"place\": "
                                                  "\"outside\", \"discharge_stop\": \"5 C\"");
    char *trip = trip_from("2026-01-06 00:00", "2026-01-09 00:00", "");
    static const sw_report_style wide = {SW_UNITS_SI, 400, 1, 0};
    const char *vans[] = {warm, cold};
    for (int i = 0; i < 2; i++) {
        rehearsed x = rehearse_texts(vans[i], trip, 300);
        sw_limits *l = limits_of(x.r);
        char *text = NULL;
        ck_assert_int_eq(l->nights_cold, i);
        ck_assert_int_eq(l->nights < 0.1, i);
        ck_assert_int_eq(sw_report_limits(l, &wide, &text), SW_OK);
        ck_assert_int_eq(strstr(text, "; then it is too cold to give anything.") != NULL, i);
        ck_assert_int_eq(strstr(text, " days to the reserve line of 20 %, with") != NULL, !i);
        free(text);
        sw_limits_free(l);
        forget_rehearsed(&x);
    }
    free(trip);
    free(cold);
    free(warm);
}
END_TEST

/* Lead comes to 99 % in hours, and to the last percent in weeks. */
START_TEST(lead_is_full_before_it_is_full)
{
    char *lithium = plain_van(SOURCES), *van = text_with(lithium, "lifepo4", "agm");
    char *idle = text_with(van, "\"power\": \"40 W\"", "\"power\": \"4 W\"");
    static const char *const lines[] = {"\"reserve\": \"50 %\",", "\"reserve\": \"95 %\","};
    static const double to[] = {0.8, 0.99};
    for (int i = 0; i < 2; i++) {
        char *trip = trip_from("2026-06-06 00:00", "2026-06-09 00:00", lines[i]);
        rehearsed x = rehearse_texts(idle, trip, 300);
        sw_limits *l = limits_of(x.r);
        ck_assert_double_eq(l->to, to[i]);
        for (int k = 0; k < SW_REFILLS; k++)
            ck_assert(isfinite(l->refill_h[k]));
        sw_limits_free(l);
        forget_rehearsed(&x);
        free(trip);
    }
    free(idle);
    free(van);
    free(lithium);
}
END_TEST

/* A generator feeds the inlet and is no hookup: its days are days without one. */
START_TEST(a_day_with_a_generator_is_no_hookup_day)
{
    char *plain = plain_van(SOURCES "\"generator\": {\"rating\": \"1000 W\"}, ");
    char *trip = trip_from("2026-11-06 00:00", "2026-11-13 00:00", "");
    char *run = text_with(
        trip, "\"to\": \"2026-11-13 00:00\"}",
        "\"to\": \"2026-11-07 00:00\", \"hookup\": {\"current\": \"15 A\", \"voltage\": \"120 V\"}}, "
        "{\"stay\": \"mesa\", \"to\": \"2026-11-13 00:00\", \"generator_hours\": \"09:00-11:35\"}");
    rehearsed x = rehearse_texts(plain, run, 300);
    sw_limits *l = limits_of(x.r);
    ck_assert_double_gt(x.r->trip.value[SW_LEDGER_GENERATOR], 500.0);
    ck_assert_double_eq_tol(l->clashes.hookup_va, 1800.0,
                            1e-9);        // the pedestal's, not the generator's 1000 VA
    ck_assert_int_eq(l->ordinary_day, 1); // all days alike: the first that has no hookup
    sw_limits_free(l);
    forget_rehearsed(&x);
    free(run);
    free(trip);
    free(plain);
}
END_TEST

/* 60 A of 13 V are 800 W: the kettle alone is too much for the battery, though not for inverter or inlet; no
   charge in the evening changes that. */
START_TEST(what_the_battery_may_not_give_at_once_is_named)
{
    char *van = text_with(small_van, "\"parallel\": 2,", "\"parallel\": 2, \"discharge_limit\": \"30 A\",");
    char *trip = text_with(small_trip, "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}",
                           "{\"stay\": \"mesa\", \"to\": \"2026-11-09 10:00\"}");
    const char *vans[] = {small_van, van};
    for (int is_weak = 0; is_weak < 2; is_weak++) {
        rehearsed x = rehearse_texts(vans[is_weak], trip, 300);
        sw_limits *l = limits_of(x.r);
        ck_assert_int_eq(l->clashes.count, is_weak);
        ck_assert(!is_weak || (l->clashes.clash[0].battery && !l->clashes.clash[0].inverter &&
                               !l->clashes.clash[0].inlet));
        ck_assert(isfinite(l->evening[0].mark));
        ck_assert_int_eq(x.r->outcome.out_why == SW_MISSED_RATE && x.r->outcome.missed_wh > 50.0, is_weak);
        ck_assert_double_eq(x.r->outcome.short_wh, 0.0);
        sw_limits_free(l);
        forget_rehearsed(&x);
    }
    free(trip);
    free(van);
}
END_TEST

START_TEST(a_trip_without_a_whole_day_has_no_ordinary_one)
{
    char *van = plain_van(SOURCES), *trip = trip_from("2026-11-06 12:00", "2026-11-07 12:00", "");
    rehearsed x = rehearse_texts(van, trip, 300);
    sw_messages *messages = sw_messages_create();
    sw_limits *l = NULL;
    ck_assert_int_eq(sw_find_limits(x.r, messages, &l), SW_BAD_INPUT);
    ck_assert_ptr_null(l);
    sw_messages_free(messages);
    forget_rehearsed(&x);
    free(trip);
    free(van);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        nights_without_sun_are_those_of_a_van_without_sources,
        refilling_takes_the_hours_of_a_trip_that_refills,
        the_evening_mark_just_lasts_the_day,
        where_a_full_battery_is_not_enough_there_is_no_mark,
        what_is_too_much_together_is_named,
        a_trip_without_a_whole_day_has_no_ordinary_one,
        a_battery_without_a_reserve_runs_empty,
        what_the_battery_may_not_give_at_once_is_named,
        clashes_are_of_what_meets_and_of_the_weakest_hookup,
        what_runs_long_at_a_hookup_takes_no_inverter_away,
        an_inverter_that_sags_ends_the_nights,
        what_a_day_takes_does_not_hang_on_the_battery,
        lead_is_full_before_it_is_full,
        cold_ends_the_nights_and_is_told,
        a_day_with_a_generator_is_no_hookup_day,
        what_runs_at_a_hookup_only_does_not_count_without_one,
        hours_of_sun_count_from_the_first_light,
        NULL,
    };
    return sw_suite_of("limits", tests, 120);
}
