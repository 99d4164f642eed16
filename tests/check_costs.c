// What the choices of a study cost and weigh: parts that do not tell it, and trips whose vans differ.
#include "stillwatt/burden.h"
#include "stillwatt/report.h"
#include "stillwatt/tally.h"
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

// ---- between two vans ----

/* Each is a change of the small van, whose panels tell no price, whose battery no mass. */
START_TEST(a_part_that_does_not_tell_leaves_the_difference_open)
{
    static const struct {
        const char *from, *to;
        double price;
        int price_known, mass_known;
    } change[] = {
        {"\"format\"", "\"format\"", 0.0, 1, 1},
        {"\"panels\": 2", "\"panels\": 3", 0.0, 0, 0},
        {"\"panels\": 2", "\"panels\": 2, \"tilt\": \"30 deg\"", 0.0, 1, 1},
        {"\"panels\": 2", "\"panels\": 2, \"price\": \"80 USD\", \"mass\": \"10 kg\"", 160.0, 0, 0},
        {"\"rating\": \"200 W\"", "\"rating\": \"220 W\"", 0.0, 0, 0},
        {"\"arrays\": {\"roof\"", "\"arrays\": {\"hood\"", 0.0, 0, 0},
        {"\"arrays\": {",
         "\"arrays\": {\"bag\": {\"rating\": \"90 W\", \"panels\": 1, \"price\": \"99 USD\", \"mass\": \"6 "
         "kg\"}, ",
         99.0, 1, 1},
        {"\"parallel\": 2", "\"parallel\": 3", 900.0, 1, 0},
        {"\"price\": \"150 USD\"", "\"price\": \"190 USD\"", 40.0, 1, 1},
        {"\"limit\": \"30 A\"", "\"limit\": \"40 A\"", 0.0, 1, 0},
        {"\"2000 W\"", "\"3000 W\"", 0.0, 0, 0},
        {"\"charge_per_day\": \"10 Ah\"", "\"charge_per_day\": \"12 Ah\"", 0.0, 1, 1},
        {"\"charge_per_day\": \"10 Ah\"", "\"charge_per_day\": \"10 Ah\", \"price\": \"30 USD\"", 30.0, 1, 0},
    };
    sw_plan *before = plan_of_van(small_van);
    for (size_t i = 0; i < sizeof change / sizeof change[0]; i++) {
        char *text = text_with(small_van, change[i].from, change[i].to);
        sw_plan *after = plan_of_van(text);
        for (int back = 0; back < 2; back++) {
            sw_burden_change found;
            sw_burden_between(back ? after->van : before->van, back ? before->van : after->van, &found);
            sw_expect(found.price_known == change[i].price_known && found.mass_known == change[i].mass_known,
                      "%s: price %d, mass %d", change[i].to, found.price_known, found.mass_known);
            sw_expect(!found.price_known || fabs(found.price) == change[i].price, "%s: %g", change[i].to,
                      found.price);
        }
        sw_plan_free(after);
        free(text);
    }
    sw_plan_free(before);
}
END_TEST

// ---- over several vans ----

static const char study[] =
    "{\"format\": \"stillwatt study 1\", \"name\": \"Two vans\", \"trips\": [\"a.json\", \"b.json\"], "
    "\"choices\": {"
    "\"third unit\": {\"van\": {\"battery\": {\"parallel\": 3}}},"
    "\"third panel\": {\"van\": {\"arrays\": {\"roof\": {\"panels\": 3}}}, \"price\": \"80 USD\"},"
    "\"told\": {\"van\": {\"arrays\": {\"roof\": {\"panels\": 3}}}, \"price\": \"80 USD\", \"mass\": \"9 "
    "kg\"}}}";

/// A study of two trips with a van each.
typedef struct two {
    memory_file file[6];
    memory_files files;
    sw_loader loader;
    sw_messages *messages;
    sw_study *study;
    char *trip[2];
} two;

static void open_two(const char *van, const char *other, two *x)
{
    *x = (two){.messages = sw_messages_create()};
    x->trip[0] = text_with(small_trip, "\"van\": \"van.json\"", "\"van\": \"first.json\"");
    x->trip[1] = text_with(small_trip, "\"van\": \"van.json\"", "\"van\": \"second.json\"");
    x->file[0] = (memory_file){"study.json", study};
    x->file[1] = (memory_file){"a.json", x->trip[0]};
    x->file[2] = (memory_file){"b.json", x->trip[1]};
    x->file[3] = (memory_file){"first.json", van};
    x->file[4] = (memory_file){"second.json", other};
    x->files.file = x->file;
    x->loader = memory_loader(&x->files);
    ck_assert_int_eq(sw_read_study(&x->loader, "study.json", x->messages, &x->study), SW_OK);
}

static void close_two(two *x)
{
    sw_study_free(x->study);
    sw_messages_free(x->messages);
    free(x->trip[0]);
    free(x->trip[1]);
}

/* Whichever van comes first. */
START_TEST(of_two_vans_the_worse_counts)
{
    char *heavy =
        text_with(small_van, "\"price\": \"900 USD\"", "\"price\": \"950 USD\", \"mass\": \"300 kg\"");
    char *light =
        text_with(small_van, "\"price\": \"900 USD\"", "\"price\": \"900 USD\", \"mass\": \"11 kg\"");
    for (int order = 0; order < 2; order++) {
        two x;
        sw_tally *t;
        open_two(order ? heavy : light, order ? light : heavy, &x);
        ck_assert_int_eq(sw_tally_make(x.study, &x.loader, x.messages, &t), SW_OK);
        ck_assert_int_eq(t->vans, 2);
        ck_assert_double_eq(t->cost[1].price, 950.0);
        ck_assert_double_eq(t->cost[1].mass_kg, 300.0);
        ck_assert_int_eq(t->cost[1].over, SW_OVER_PAYLOAD);
        ck_assert_str_eq(t->cost[1].over_in, order ? "first.json" : "second.json");
        ck_assert_int_eq(sw_messages_count(x.messages), 1);
        ck_assert_ptr_nonnull(
            strstr(sw_messages_at(x.messages, 0)->what, "\"third unit\" costs or weighs more"));
        ck_assert(t->cost[2].price_known && !t->cost[2].mass_known); // nobody tells a panel's mass
        ck_assert(!sw_tally_fits(&t->cost[2]));
        ck_assert(t->cost[3].mass_known && sw_tally_fits(&t->cost[3]));
        char *text = NULL;
        static const sw_report_style wide = {SW_UNITS_SI, 400, 1, 0};
        ck_assert_int_eq(sw_report_study(t, &wide, &text), SW_OK);
        ck_assert_ptr_nonnull(strstr(text, order ? "payload of first.json" : "payload of second.json"));
        ck_assert_ptr_nonnull(strstr(text, "Not of all parts that it changes the mass is told"));
        free(text);
        sw_tally_free(t);
        close_two(&x);
    }
    free(heavy);
    free(light);
}
END_TEST

START_TEST(prices_in_two_currencies_are_refused)
{
    char *euros = text_with(small_van, "\"price\": \"900 USD\"", "\"price\": \"900 EUR\"");
    char *all_euros = text_with(euros, "\"price\": \"150 USD\"", "\"price\": \"150 EUR\"");
    char own[] = "first.json", other[] = "second.json", *vans[] = {own, other};
    two x;
    sw_tally *t;
    open_two(small_van, all_euros, &x);
    sw_study *of_vans;
    ck_assert_int_eq(sw_study_of_vans(&x.loader, vans, 2, "a.json", x.messages, &of_vans), SW_OK);
    ck_assert_int_eq(sw_tally_make(of_vans, &x.loader, x.messages, &t), SW_BAD_INPUT);
    ck_assert_ptr_null(t);
    ck_assert_str_eq(sw_messages_at(x.messages, 0)->what,
                     "its prices are in EUR, those of first.json in USD");
    ck_assert_str_eq(sw_messages_at(x.messages, 0)->where.file, "second.json");
    sw_study_free(of_vans);
    close_two(&x);
    free(euros);
    free(all_euros);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {a_part_that_does_not_tell_leaves_the_difference_open,
                                  of_two_vans_the_worse_counts, prices_in_two_currencies_are_refused, NULL};
    return sw_suite_of("costs", tests, 60);
}
