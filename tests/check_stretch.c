// How long a stay lasts, against trips of that length and tanks by hand.
#include "stillwatt/civil.h"
#include "stillwatt/report.h"
#include "stillwatt/stretch.h"
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CAMP_ENDS "2026-11-08 10:00"
#define FAN       "\"charge_per_day\": \"10 Ah\""

typedef struct stretched {
    sw_plan *plan;
    sw_stretched *s;
} stretched;

static sw_status try_stretch(const sw_plan *plan, sw_messages *messages, sw_stretched **out)
{
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    return sw_find_stretch(plan, &loader, 300, messages, out);
}

static stretched stretch(const char *van, const char *trip)
{
    stretched out = {plan_of_trip(van, trip), NULL};
    sw_messages *messages = sw_messages_create();
    sw_status status = try_stretch(out.plan, messages, &out.s);
    print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return out;
}

static void forget(stretched *x)
{
    sw_stretch_free(x->s);
    sw_plan_free(x->plan);
}

/* The same trip written out: up to the step that ends the stay it is never under, with that step it is.
   Mountain standard time is 7 h behind UTC. */
START_TEST(the_charge_ends_where_the_trip_of_that_length_does)
{
    char *van = text_with(small_van, FAN, "\"charge_per_day\": \"40 Ah\"");
    stretched x = stretch(van, small_trip);
    for (int poor = 0; poor < 2; poor++) {
        const sw_stretch_end *end = &x.s->end[poor ? SW_STRETCH_POOR : SW_STRETCH_CHARGE];
        ck_assert_int_eq(end->counted, 1);
        ck_assert_double_gt(end->days, 1.0);
        for (int step = 0; step < 2; step++) {
            char until[32];
            int year, month, day;
            int64_t local_s = end->at_s - 7 * 3600 - (step ? 0 : 300);
            sw_civil_from_days(local_s / 86400, &year, &month, &day);
            snprintf(until, sizeof until, "%04d-%02d-%02d %02d:%02d", year, month, day,
                     (int)(local_s / 3600 % 24), (int)(local_s / 60 % 60));
            char *trip = text_with(small_trip, CAMP_ENDS, until);
            rehearsed hand = rehearse_texts(van, trip, 300);
            const sw_outcome *o = poor ? &hand.r->poor : &hand.r->outcome;
            ck_assert_int_eq(o->under_h > 0.0, step);
            forget_rehearsed(&hand);
            free(trip);
        }
    }
    ck_assert_int_eq(x.s->first, SW_STRETCH_POOR);
    forget(&x);
    free(van);
}
END_TEST

#define PEOPLE(litres)                                                                                       \
    "\"people\": 2, \"water_per_person\": \"" litres "\", \"drained\": \"50 %\", \"legs\": ["

/* 60 L, 20 L a day from 12:00 on 6 November; 3 h until arrival at 15:00. The tank is empty after 3 days, at
   12:00 on the 9th: 2.875 days after arrival. Grey has taken 30 L by then, of 45. */
START_TEST(tanks_end_by_their_own_arithmetic)
{
    char *van =
        text_with(small_van, "\"loads\": {",
                  "\"tanks\": {\"fresh\": {\"capacity\": \"60 L\"}, \"grey\": {\"capacity\": \"45 L\"}}, "
                  "\"loads\": {");
    char *trip = text_with(small_trip, "\"legs\": [", PEOPLE("10 L"));
    stretched x = stretch(van, trip);
    const sw_stretch_end *fresh = &x.s->end[SW_STRETCH_TANK + SW_TANK_FRESH],
                         *grey = &x.s->end[SW_STRETCH_TANK + SW_TANK_GREY],
                         *can = &x.s->end[SW_STRETCH_TANK + SW_TANK_CAN];
    ck_assert_double_eq_tol(fresh->days, 2.875, 1e-9);
    ck_assert_double_eq_tol(fresh->per_day, 57.5 / 2.875, 1e-9);
    ck_assert_double_eq_tol(fresh->spare, 20.0 / 3.875, 1e-9);
    ck_assert_int_eq(grey->counted && isinf(grey->days), 1); // there is no water to fill it with
    ck_assert_int_eq(can->counted, 0);
    ck_assert_int_eq(x.s->first, SW_STRETCH_TANK + SW_TANK_FRESH);
    forget(&x);
    // With as much less a day, of what is used from arrival on, it lasts a day more (2.5 L are used before).
    char *sparing = text_with(small_trip, "\"legs\": [", PEOPLE("7.419355 L"));
    stretched longer = stretch(van, sparing);
    double per_day = 2 * 7.419355;
    ck_assert_double_eq_tol(longer.s->end[SW_STRETCH_TANK + SW_TANK_FRESH].days,
                            ceil((60.0 / per_day - 0.125) * 24.0 - 1e-9) / 24.0, 1e-9);
    ck_assert_double_eq_tol(longer.s->end[SW_STRETCH_TANK + SW_TANK_FRESH].days, 3.875, 0.1);
    forget(&longer);
    free(sparing);
    free(trip);
    free(van);
}
END_TEST

/* A tank that is filled on arrival counts from there. */
START_TEST(what_is_filled_on_arrival_is_full)
{
    char *van = text_with(small_van, "\"loads\": {",
                          "\"tanks\": {\"fresh\": {\"capacity\": \"60 L\"}}, \"loads\": {");
    char *thirsty = text_with(small_trip, "\"legs\": [", PEOPLE("10 L"));
    char *trip =
        text_with(thirsty, "{\"stay\": \"mesa\",", "{\"stay\": \"mesa\", \"services\": [\"fresh\"],");
    stretched x = stretch(van, trip);
    ck_assert_double_eq_tol(x.s->end[SW_STRETCH_TANK + SW_TANK_FRESH].days, 3.0, 1e-9);
    forget(&x);
    free(trip);
    free(thirsty);
    free(van);
}
END_TEST

/* A stay in two legs at one place lasts from the first on, and as long as in one leg; what was done on the
   second leg's begin counts from there. */
START_TEST(legs_at_one_place_are_one_stay)
{
    char *van = text_with(small_van, "\"loads\": {",
                          "\"tanks\": {\"fresh\": {\"capacity\": \"60 L\"}}, \"loads\": {");
    char *trip = text_with(small_trip, "\"legs\": [", PEOPLE("10 L"));
    char *cut = text_with(trip, "{\"stay\": \"mesa\",",
                          "{\"stay\": \"mesa\", \"to\": \"2026-11-07 12:00\"}, {\"stay\": \"mesa\",");
    char *filled = text_with(cut, ":00\"}, {\"stay\": \"mesa\",",
                             ":00\"}, {\"stay\": \"mesa\", \"services\": [\"fresh\"],");
    stretched one = stretch(van, trip), two = stretch(van, cut), again = stretch(van, filled);
    ck_assert_int_eq(two.s->arrival_s == one.s->arrival_s, 1);
    for (int c = 0; c < SW_STRETCH_CAUSES; c++)
        ck_assert_int_eq(two.s->end[c].at_s == one.s->end[c].at_s, 1);
    // Filled at noon of the 7th, a day after the start: 3 days from there, 3.875 from the arrival at 15:00.
    const sw_stretch_end *fresh = &again.s->end[SW_STRETCH_TANK + SW_TANK_FRESH];
    ck_assert_double_eq_tol(fresh->days, 3.875, 1e-9);
    ck_assert_double_eq_tol(fresh->per_day, 20.0, 1e-9);
    ck_assert_double_eq_tol(fresh->spare, 5.0, 1e-9); // 15 L a day: 4 days from the filling
    char *sparing = text_with(filled, "\"10 L\"", "\"7.5 L\"");
    stretched longer = stretch(van, sparing);
    ck_assert_double_eq_tol(longer.s->end[SW_STRETCH_TANK + SW_TANK_FRESH].days, 4.875, 1e-9);
    forget(&longer);
    free(sparing);
    forget(&one);
    forget(&two);
    forget(&again);
    free(filled);
    free(cut);
    free(trip);
    free(van);
}
END_TEST

/* 18 L at 20 L a day are gone at 9:36 of the 7th, in the hour that ends at 10:00: 19 h after arrival. The
   filling at noon is too late, whatever it makes of the days after it. */
START_TEST(a_tank_dry_before_it_is_filled_has_ended_the_stay)
{
    char *van = text_with(small_van, "\"loads\": {",
                          "\"tanks\": {\"fresh\": {\"capacity\": \"18 L\"}}, \"loads\": {");
    char *thirsty = text_with(small_trip, "\"legs\": [", PEOPLE("10 L"));
    char *trip = text_with(thirsty, "{\"stay\": \"mesa\",",
                           "{\"stay\": \"mesa\", \"to\": \"2026-11-07 12:00\"}, "
                           "{\"stay\": \"mesa\", \"services\": [\"fresh\"],");
    stretched x = stretch(van, trip);
    const sw_stretch_end *fresh = &x.s->end[SW_STRETCH_TANK + SW_TANK_FRESH];
    ck_assert_double_eq_tol(fresh->days, 19.0 / 24.0, 1e-9);
    ck_assert_double_eq_tol(fresh->per_day, 15.5 / (19.0 / 24.0), 1e-9); // 2.5 L went on the way
    ck_assert_int_eq(x.s->first, SW_STRETCH_TANK + SW_TANK_FRESH);
    ck_assert_int_eq(x.s->long_stay->tanks.tank[SW_TANK_FRESH].ends_at_s == fresh->at_s, 1);
    forget(&x);
    free(trip);
    free(thirsty);
    free(van);
}
END_TEST

/* 60 A at 13 V are 800 W: a kettle of 900 W goes unserved every morning, with a battery that is almost full.
   The stay goes on until the charge ends it. */
START_TEST(what_is_too_much_at_once_ends_no_stay)
{
    char *van = text_with(small_van, "\"parallel\": 2,", "\"parallel\": 2, \"discharge_limit\": \"30 A\",");
    char *hungry = text_with(van, FAN, "\"charge_per_day\": \"30 Ah\"");
    stretched x = stretch(hungry, small_trip);
    const sw_outcome *o = &x.s->long_stay->outcome;
    const sw_stretch_end *end = &x.s->end[SW_STRETCH_CHARGE];
    ck_assert_int_eq(o->out_why, SW_MISSED_RATE);
    ck_assert_int_eq(o->out_at_s < x.s->arrival_s + 86400, 1);
    ck_assert_int_eq(end->at_s == o->under_at_s, 1);
    ck_assert_int_eq(end->why, SW_STRETCH_UNDER);
    ck_assert_double_gt(end->days, 2.0);
    forget(&x);
    free(hungry);
    free(van);
}
END_TEST

#define DEVICE                                                                                               \
    "\"device\": {\"kind\": \"steady\", \"bus\": \"ac\", \"power\": \"30 W\", \"hours\": \"22:00-06:00\", "  \
    "\"held\": \"must\", \"medical\": \"yes\"}, \"fridge\": {"

/* Whatever ends it is told as what it is: a medical device on AC while the inverter is off at night; a
   battery outside that gives nothing at and under 5 C; one that is only just carried by the charge that is
   left. */
START_TEST(what_ends_a_stay_is_told_as_what_it_is)
{
    static const struct {
        const char *from, *to;
        sw_stretch_why why;
        const char *says;
    } cases[] = {
        {"\"fridge\": {", DEVICE, SW_STRETCH_MEDICAL, "then a medical device goes without power"},
        {"\"unit_voltage\": \"12 V\",",
         "\"unit_voltage\": \"12 V\", \"place\": \"outside\", \"discharge_stop\": \"5 C\",", SW_STRETCH_COLD,
         "then the battery is too cold to give anything"},
        {FAN, "\"charge_per_day\": \"40 Ah\"", SW_STRETCH_UNDER,
         "then the charge falls under the reserve line"},
    };
    static const sw_report_style wide = {SW_UNITS_SI, 400, 1, 0};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *van = text_with(small_van, cases[i].from, cases[i].to), *text = NULL;
        stretched x = stretch(van, small_trip);
        const sw_stretch_end *end = &x.s->end[SW_STRETCH_CHARGE];
        ck_assert_int_eq(end->why, cases[i].why);
        ck_assert_int_eq(isnan(end->spare), cases[i].why != SW_STRETCH_UNDER);
        ck_assert_int_eq(sw_report_stretch(x.s, &wide, &text), SW_OK);
        ck_assert_msg(strstr(text, cases[i].says) != NULL, "%s", text);
        free(text);
        forget(&x);
        free(van);
    }
    // Without a line the battery runs empty.
    char *hungry = text_with(small_van, FAN, "\"charge_per_day\": \"60 Ah\"");
    char *trip =
        text_with(small_trip, "\"van\": \"van.json\",", "\"van\": \"van.json\", \"reserve\": \"0 %\",");
    stretched x = stretch(hungry, trip);
    ck_assert_int_eq(x.s->end[SW_STRETCH_CHARGE].why, SW_STRETCH_EMPTY);
    forget(&x);
    free(trip);
    free(hungry);
}
END_TEST

/* A fifth of 190 Ah, and a point: a fan of 66 Ah an hour has it under the line on the way, before the stay
   begins. */
START_TEST(a_stay_that_is_not_reached_is_told_as_such)
{
    char *van = text_with(small_van, FAN, "\"charge_per_day\": \"1600 Ah\"");
    char *dark = text_with(van, "\"arrays\": {\"roof\": {\"rating\": \"200 W\", \"panels\": 2}},", "");
    char *bare = text_with(dark, "\"controller\": {\"limit\": \"30 A\", \"price\": \"150 USD\"},", "");
    char *trip =
        text_with(small_trip, "\"van\": \"van.json\",", "\"van\": \"van.json\", \"start_charge\": \"21 %\",");
    stretched x = stretch(bare, trip);
    char *text = NULL;
    static const sw_report_style wide = {SW_UNITS_SI, 400, 1, 0};
    ck_assert_int_eq(x.s->end[SW_STRETCH_CHARGE].at_s < x.s->arrival_s, 1);
    ck_assert_double_eq(x.s->end[SW_STRETCH_CHARGE].days, 0.0);
    ck_assert_int_eq(sw_report_stretch(x.s, &wide, &text), SW_OK);
    ck_assert_ptr_nonnull(
        strstr(text, "The stay at \"mesa\" is not reached like this: before it, at Fri 6 Nov 1"));
    ck_assert_ptr_null(strstr(text, "on arrival"));
    free(text);
    forget(&x);
    free(trip);
    free(bare);
    free(dark);
    free(van);
}
END_TEST

/* A bank that nothing fills is dead for most of what is looked at; what to save is of the days that it lives.
 */
START_TEST(without_a_source_savings_are_told_all_the_same)
{
    static const char van[] = "{\"format\": \"stillwatt van 1\", \"name\": \"v\", \"battery\": "
                              "{\"chemistry\": \"lifepo4\", \"capacity\": \"100 Ah\", "
                              "\"unit_voltage\": \"12 V\"}, \"loads\": {\"box\": {\"kind\": \"steady\", "
                              "\"bus\": \"dc\", \"power\": \"20 W\"}}}";
    char *habits = text_with(small_trip, ",\n  \"habits\": {\"kettle\": {\"uses\": 1}}", "");
    char *trip = text_with(habits, ",\n     \"hookup\": {\"current\": \"30 A\", \"voltage\": \"120 V\"}", "");
    stretched x = stretch(van, trip);
    const sw_stretch_end *end = &x.s->end[SW_STRETCH_CHARGE];
    ck_assert_double_eq_tol(end->per_day, 480.0 + 8.0, 12.0);
    ck_assert_double_eq_tol(end->spare, end->per_day / (end->days + 1.0), 1e-9);
    forget(&x);
    // Arriving with a point over the line, a day more would ask for more than all.
    char *late =
        text_with(trip, "\"van\": \"van.json\",", "\"van\": \"van.json\", \"start_charge\": \"26 %\",");
    stretched y = stretch(van, late);
    ck_assert_double_lt(y.s->end[SW_STRETCH_CHARGE].days, 0.1);
    ck_assert(isnan(y.s->end[SW_STRETCH_CHARGE].spare) || y.s->end[SW_STRETCH_CHARGE].spare < 480.0);
    forget(&y);
    free(late);
    free(trip);
    free(habits);
}
END_TEST

/* Half of the drain lasts longer, and so does the day more that the answer promises, about. */
START_TEST(less_use_lasts_longer_as_told)
{
    char *van = text_with(small_van, FAN, "\"energy_per_day\": \"512 Wh\"");
    stretched x = stretch(van, small_trip);
    const sw_stretch_end end = x.s->end[SW_STRETCH_CHARGE];
    char fan[60];
    snprintf(fan, sizeof fan, "\"energy_per_day\": \"%.1f Wh\"", 512.0 - end.spare);
    char *sparing = text_with(small_van, FAN, fan);
    stretched longer = stretch(sparing, small_trip);
    ck_assert_double_gt(longer.s->end[SW_STRETCH_CHARGE].days, end.days + 0.5);
    ck_assert_double_lt(longer.s->end[SW_STRETCH_CHARGE].days, end.days + 2.0);
    forget(&longer);
    forget(&x);
    free(sparing);
    free(van);
}
END_TEST

START_TEST(a_trip_without_a_stay_cannot_be_stretched)
{
    char *trip = text_with(small_trip, ",\n    {\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}", "");
    char *drive = text_with(trip, "{\"stay\": \"town\"", "{\"store\": \"town\"");
    sw_plan *plan = plan_of_trip(small_van, drive);
    sw_messages *messages = sw_messages_create();
    sw_stretched *out = NULL;
    ck_assert_int_eq(try_stretch(plan, messages, &out), SW_BAD_INPUT);
    ck_assert_ptr_null(out);
    ck_assert_str_eq(sw_messages_at(messages, 0)->what, "this trip has no stay that could be longer");
    sw_messages_free(messages);
    sw_plan_free(plan);
    free(drive);
    free(trip);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        the_charge_ends_where_the_trip_of_that_length_does,
        tanks_end_by_their_own_arithmetic,
        what_is_filled_on_arrival_is_full,
        less_use_lasts_longer_as_told,
        a_trip_without_a_stay_cannot_be_stretched,
        legs_at_one_place_are_one_stay,
        what_is_too_much_at_once_ends_no_stay,
        a_stay_that_is_not_reached_is_told_as_such,
        what_ends_a_stay_is_told_as_what_it_is,
        without_a_source_savings_are_told_all_the_same,
        a_tank_dry_before_it_is_filled_has_ended_the_stay,
        NULL,
    };
    return sw_suite_of("stretch", tests, 120);
}
