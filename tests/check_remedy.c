// Remedies against the same changes made by hand in the files and rehearsed.
#include "stillwatt/remedy.h"
#include "study/plan_copy.h"
#include "study/remedy_changes.h"
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define CAMP "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}"
/// A week in which the small van's battery runs down.
#define WEEK "{\"stay\": \"mesa\", \"to\": \"2026-11-13 10:00\", \"heading\": \"180 deg\"}"
#define FAN  "\"charge_per_day\": \"10 Ah\""

typedef struct found {
    rehearsed base;
    sw_remedies *remedies;
} found;

static found find(const char *van, const char *trip)
{
    found f = {rehearse_texts(van, trip, 300), NULL};
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_status status = sw_find_remedies(f.base.r, &loader, 300, messages, &f.remedies);
    print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return f;
}

static void forget(found *f)
{
    sw_remedies_free(f->remedies);
    forget_rehearsed(&f->base);
}

static const sw_remedy *remedy_of(const found *f, sw_change_kind kind, int index)
{
    for (int i = 0; i < f->remedies->count; i++)
        if (f->remedies->remedy[i].change[0].kind == kind && f->remedies->remedy[i].change[0].index == index)
            return &f->remedies->remedy[i];
    return NULL;
}

static int load_of(const found *f, const char *name)
{
    for (int k = 0; k < f->base.plan->van->loads; k++)
        if (strcmp(f->base.plan->van->load[k].name, name) == 0)
            return k;
    return -1;
}

/* To the bit: a change is a lane of the march that a rehearsal is. */
static void the_same(const sw_outcome *a, const sw_outcome *b)
{
    ck_assert_int_eq(a->verdict, b->verdict);
    ck_assert_int_eq(a->lowest_soc == b->lowest_soc, 1);
    ck_assert_int_eq(a->lowest_at_s == b->lowest_at_s, 1);
    ck_assert_int_eq(a->unserved_wh == b->unserved_wh, 1);
    ck_assert_int_eq(a->under_days, b->under_days);
    ck_assert_int_eq(a->end_soc == b->end_soc, 1);
}

static char *week(void)
{
    return text_with(small_trip, CAMP, WEEK);
}

/* A van whose fan runs it down within the week. */
static char *thirsty(const char *fan)
{
    return text_with(small_van, FAN, fan);
}

static void is_as_by_hand(const found *f, const sw_remedy *remedy, const char *van, const char *trip)
{
    ck_assert_ptr_nonnull(remedy);
    rehearsed hand = rehearse_texts(van, trip, 300);
    the_same(&remedy->outcome, &hand.r->outcome);
    the_same(&remedy->poor, &hand.r->poor);
    the_same(&remedy->worst, &hand.r->poor);
    (void)f;
    forget_rehearsed(&hand);
}

START_TEST(each_change_is_the_rehearsal_of_the_changed_files)
{
    char *trip = week(), *van = thirsty("\"charge_per_day\": \"40 Ah\"");
    found f = find(van, trip);
    ck_assert_int_eq(sw_is_enough(&f.remedies->worst), 0);
    static const struct {
        sw_change_kind kind;
        const char *load, *from, *to;
    } changes[] = {
        {SW_CHANGE_BATTERY, NULL, "\"parallel\": 2", "\"parallel\": 3"},
        {SW_CHANGE_PANELS, NULL, "\"panels\": 2", "\"panels\": 3"},
        {SW_CHANGE_LEAVE, "fan", "\"charge_per_day\": \"40 Ah\"",
         "\"count\": 0, \"charge_per_day\": \"40 Ah\""},
        {SW_CHANGE_HALVE, "fan", "\"charge_per_day\": \"40 Ah\"", "\"charge_per_day\": \"20 Ah\""},
    };
    for (size_t i = 0; i < sizeof changes / sizeof changes[0]; i++) {
        char *by_hand = text_with(van, changes[i].from, changes[i].to);
        int index = changes[i].load != NULL ? load_of(&f, changes[i].load) : 0;
        is_as_by_hand(&f, remedy_of(&f, changes[i].kind, index), by_hand, trip);
        free(by_hand);
    }
    forget(&f);
    free(van);
    free(trip);
}
END_TEST

/* Whose hours leave a medical device out is switched on; what is switched on already is not. */
START_TEST(an_inverter_is_switched_on_for_a_medical_device)
{
#define OWN_HOURS ", \"hours\": [\"06:30-09:00\", \"17:00-22:00\"]"
    char *van = text_with(
        small_van, "\"loads\": {",
        "\"loads\": {\"device\": {\"kind\": \"steady\", \"bus\": \"ac\", \"power\": \"30 W\", \"hours\": "
        "\"22:00-06:00\", \"held\": \"must\", \"medical\": \"yes\"}, ");
    char *on = text_with(van, OWN_HOURS, "");
    found f = find(van, small_trip);
    const sw_remedy *remedy = remedy_of(&f, SW_CHANGE_ON, 0);
    ck_assert_int_eq(f.base.r->outcome.verdict, SW_OUT);
    is_as_by_hand(&f, remedy, on, small_trip);
    ck_assert_int_eq(sw_is_enough(&remedy->worst), 1);
    forget(&f);
    found always = find(on, small_trip);
    ck_assert_ptr_null(remedy_of(&always, SW_CHANGE_ON, 0));
    forget(&always);
    free(on);
    free(van);
}
END_TEST

/* A van that is laid up: the main switch, as the trip file opens it; not what health hangs on. */
START_TEST(the_main_switch_is_opened_while_laid_up)
{
    char *trip = text_with(small_trip, CAMP, "{\"store\": \"mesa\", \"to\": \"2027-02-08 10:00\"}");
    char *off = text_with(small_trip, CAMP,
                          "{\"store\": \"mesa\", \"to\": \"2027-02-08 10:00\", \"disconnected\": \"yes\"}");
    char *van = thirsty("\"charge_per_day\": \"40 Ah\", \"stored\": \"on\"");
    found f = find(van, trip);
    is_as_by_hand(&f, remedy_of(&f, SW_CHANGE_OFF, 0), van, off);
    forget(&f);
    found is_off = find(van, off);
    ck_assert_ptr_null(remedy_of(&is_off, SW_CHANGE_OFF, 0));
    forget(&is_off);
    char *medical = thirsty("\"charge_per_day\": \"40 Ah\", \"stored\": \"on\", \"medical\": \"yes\"");
    found hangs = find(medical, trip);
    ck_assert_ptr_null(remedy_of(&hangs, SW_CHANGE_OFF, 0));
    forget(&hangs);
    free(medical);
    free(van);
    free(off);
    free(trip);
}
END_TEST

/* The tilt is that of the noon sun: 38.5 degrees north and 16.6 south on 9 November, in steps of five. */
START_TEST(a_raised_array_faces_the_noon_sun)
{
    char *trip = week(), *van = thirsty("\"charge_per_day\": \"40 Ah\"");
    found f = find(van, trip);
    const sw_remedy *raised = remedy_of(&f, SW_CHANGE_TILT, 0);
    ck_assert_ptr_nonnull(raised);
    ck_assert_double_eq(raised->change[0].value, 55.0);
    ck_assert_double_eq(raised->change[0].toward_deg, 180.0);
    ck_assert(isnan(raised->price));
    char *by_hand = text_with(van, "\"panels\": 2",
                              "\"panels\": 2, \"tilt\": \"55 deg\", \"facing\": \"180 deg\", \"fixed_to\": "
                              "\"compass\", \"deployed\": \"raised\"");
    is_as_by_hand(&f, raised, by_hand, trip);
    free(by_hand);
    forget(&f);
    free(van);
    free(trip);
}
END_TEST

/* Each night by hand as three legs: no other does better than the one that is told. */
START_TEST(the_night_at_a_hookup_is_the_best_of_all)
{
    char *trip = week(), *van = thirsty("\"charge_per_day\": \"40 Ah\"");
    found f = find(van, trip);
    const sw_remedy *hookup = remedy_of(&f, SW_CHANGE_HOOKUP, 0);
    ck_assert_ptr_nonnull(hookup);
    int met = 0;
    for (int day = 6; day < 13; day++) {
        char legs[900];
        snprintf(legs, sizeof legs,
                 "{\"stay\": \"mesa\", \"to\": \"2026-11-%02d 17:00\", \"heading\": \"180 deg\"}, "
                 "{\"stay\": \"mesa\", \"to\": \"2026-11-%02d 09:00\", \"heading\": \"180 deg\", \"hookup\": "
                 "{\"current\": \"30 A\", \"voltage\": \"120 V\"}}, "
                 "{\"stay\": \"mesa\", \"to\": \"2026-11-13 10:00\", \"heading\": \"180 deg\"}",
                 day, day + 1);
        char *by_hand = text_with(small_trip, CAMP, legs);
        rehearsed hand = rehearse_texts(van, by_hand, 300);
        ck_assert_msg(hand.r->poor.missed_wh >= hookup->poor.missed_wh - 1.0, "the night of %d is better",
                      day);
        met += hand.r->poor.lowest_soc == hookup->poor.lowest_soc &&
               hand.r->outcome.end_soc == hookup->outcome.end_soc;
        forget_rehearsed(&hand);
        free(by_hand);
    }
    ck_assert_int_eq(met, 1);
    forget(&f);
    free(van);
    free(trip);
}
END_TEST

/* One size less does not hold, that size does; both rehearsed from the files. */
START_TEST(the_smallest_that_holds_is_the_smallest)
{
    char *trip = week(), *van = thirsty("\"charge_per_day\": \"40 Ah\"");
    found f = find(van, trip);
    static const char *const keys[] = {"\"parallel\": 2", "\"panels\": 2"};
    ck_assert_int_eq(f.remedies->smallests, 2);
    for (int i = 0; i < 2; i++) {
        const sw_smallest *small = &f.remedies->smallest[i];
        ck_assert_int_gt(small->units, small->has);
        for (int less = 0; less < 2; less++) {
            char key[40];
            snprintf(key, sizeof key, "\"%s\": %d", i == 0 ? "parallel" : "panels", small->units - less);
            char *by_hand = text_with(van, keys[i], key);
            rehearsed hand = rehearse_texts(by_hand, trip, 300);
            ck_assert_int_eq(sw_is_enough(&hand.r->poor), !less);
            forget_rehearsed(&hand);
            free(by_hand);
        }
    }
    forget(&f);
    free(van);
    free(trip);
}
END_TEST

/* 11 kg of battery and 10 kg of panel more are too much for what bears 5 kg more than the parts. */
START_TEST(no_remedy_is_more_than_the_vehicle_bears)
{
    char *trip = week(), *heavy = thirsty("\"charge_per_day\": \"40 Ah\"");
    char *weighed = text_with(heavy, "\"price\": \"900 USD\"", "\"price\": \"900 USD\", \"mass\": \"11 kg\"");
    for (int roomy = 0; roomy < 2; roomy++) {
        char *van = text_with(weighed, "\"payload\": \"620 kg\"",
                              roomy ? "\"payload\": \"33 kg\"" : "\"payload\": \"32 kg\"");
        found f = find(van, trip);
        ck_assert_int_eq(remedy_of(&f, SW_CHANGE_BATTERY, 0) != NULL, roomy);
        ck_assert_int_eq(f.remedies->unfit, !roomy);
        ck_assert_int_eq(f.remedies->smallest[0].limit,
                         roomy ? f.remedies->smallest[0].limit : SW_OVER_PAYLOAD);
        if (roomy) {
            const sw_remedy *battery = remedy_of(&f, SW_CHANGE_BATTERY, 0);
            ck_assert_double_eq(battery->price, 900.0);
            ck_assert_double_eq(battery->mass_kg, 11.0);
        }
        forget(&f);
        free(van);
    }
    free(weighed);
    free(heavy);
    free(trip);
}
END_TEST

/* No pair of singles that cost less together holds: each is done to the plan and rehearsed whole.
   @return how many there were */
static int expect_cheapest(const found *f)
{
    const sw_remedies *r = f->remedies;
    int cheaper = 0;
    for (int i = 0; i < r->count; i++)
        for (int k = i + 1; k < r->count; k++) {
            const sw_change *a = &r->remedy[i].change[0], *b = &r->remedy[k].change[0];
            double price = r->remedy[i].price + r->remedy[k].price;
            if (!(price < r->pair.price))
                continue;
            sw_arena *arena = sw_arena_create();
            sw_plan *copy = sw_plan_copy(f->base.plan, arena);
            if (sw_change_do(a, f->base.r, copy) && sw_change_do(b, f->base.r, copy)) {
                memory_file file[] = {{NULL, NULL}};
                memory_files files = {.file = file};
                sw_loader loader = memory_loader(&files);
                sw_messages *messages = sw_messages_create();
                sw_rehearsal *hand = NULL;
                if (sw_rehearse(copy, &loader, 300, messages, &hand) == SW_OK) {
                    const sw_outcome *worst = hand->has_poor ? &hand->poor : &hand->outcome;
                    ck_assert(!sw_is_enough(worst) || worst->unserved_wh > r->worst.unserved_wh + 1.0);
                    cheaper++;
                }
                sw_rehearsal_free(hand);
                sw_messages_free(messages);
            }
            sw_arena_free(arena);
        }
    return cheaper;
}

/* Seats and areas decide what an axle, and the roof, bear. */
START_TEST(no_remedy_is_more_than_axles_and_roof_bear)
{
    static const struct {
        const char *vehicle;
        sw_limit limit;
    } limits[] = {
        {"{\"front_axle_spare\": \"27 kg\"}",
         SW_OVER_FRONT_AXLE}, // three units between the axles: 16.5 kg a side
        {"{\"front_axle_spare\": \"10.9 kg\"}", SW_OVER_FRONT_AXLE},
        {"{\"rear_axle_spare\": \"10.9 kg\"}", SW_OVER_REAR_AXLE},
    };
    char *trip = week(), *heavy = thirsty("\"charge_per_day\": \"40 Ah\"");
    char *weighed = text_with(heavy, "\"price\": \"900 USD\"", "\"price\": \"900 USD\", \"mass\": \"11 kg\"");
    for (int i = 0; i < 3; i++) {
        char *van = text_with(weighed, "{\"payload\": \"620 kg\"}", limits[i].vehicle);
        found f = find(van, trip);
        // 22 kg now, 11 on each axle: under the lower limits it is over already, which is no fault of a
        // change.
        ck_assert_ptr_nonnull(remedy_of(&f, SW_CHANGE_BATTERY, 0));
        ck_assert_int_eq(sw_burden_over(f.base.plan->van), i == 0 ? SW_FITS : limits[i].limit);
        forget(&f);
        free(van);
    }
    char *front = text_with(weighed, "{\"payload\": \"620 kg\"}", "{\"front_axle_spare\": \"16 kg\"}");
    char *rear = text_with(weighed, "{\"payload\": \"620 kg\"}", "{\"rear_axle_spare\": \"16 kg\"}");
    char *tight[] = {front, rear};
    for (int i = 0; i < 2; i++) {
        found f = find(tight[i], trip);
        ck_assert_ptr_null(remedy_of(&f, SW_CHANGE_BATTERY, 0)); // 16.5 kg on each
        ck_assert_int_ge(f.remedies->unfit, 1);
        ck_assert_int_eq(f.remedies->smallest[0].limit, i == 0 ? SW_OVER_FRONT_AXLE : SW_OVER_REAR_AXLE);
        forget(&f);
    }
    for (int roomy = 0; roomy < 2; roomy++) {
        char *small = text_with(heavy, "{\"payload\": \"620 kg\"}",
                                roomy ? "{\"free_roof\": \"3.1 m2\"}" : "{\"free_roof\": \"2.9 m2\"}");
        char *van = text_with(small, "\"rating\": \"200 W\"",
                              "\"rating\": \"200 W\", \"area\": \"1 m2\", \"seat\": \"roof\"");
        found f = find(van, trip);
        ck_assert_int_eq(remedy_of(&f, SW_CHANGE_PANELS, 0) != NULL, roomy); // a third panel
        forget(&f);
        free(van);
        free(small);
    }
    free(front);
    free(rear);
    free(weighed);
    free(heavy);
    free(trip);
}
END_TEST

/* Where no single change is enough two may be; the pair is both done to the files. */
START_TEST(a_pair_is_both_changes)
{
    char *trip = week();
    int pairs = 0, cheaper = 0;
    for (int charge = 75; charge < 200 && cheaper == 0; charge += 5) {
        char fan[60];
        snprintf(fan, sizeof fan, "\"held\": \"must\", \"charge_per_day\": \"%d Ah\"", charge);
        char *unpriced = thirsty(fan);
        char *van =
            text_with(unpriced, "\"rating\": \"200 W\"", "\"rating\": \"200 W\", \"price\": \"120 USD\"");
        found f = find(van, trip);
        if (f.remedies->has_pair) {
            for (int i = 0; i < f.remedies->count; i++)
                ck_assert_int_eq(sw_is_enough(&f.remedies->remedy[i].worst), 0);
            ck_assert_int_eq(sw_is_enough(&f.remedies->pair.worst), 1);
            ck_assert_int_eq(f.remedies->pair.changes, 2);
            cheaper = expect_cheapest(&f);
            pairs++;
        }
        forget(&f);
        free(unpriced);
        free(van);
    }
    ck_assert_int_gt(pairs, 0);
    ck_assert_int_gt(cheaper, 0); // so that there was something to be cheaper than
    free(trip);
}
END_TEST

/* 3 kW of what must run, day and night: nothing in the catalogue carries that. */
START_TEST(where_nothing_helps_nothing_is_told)
{
    char *trip = week(), *van = thirsty("\"held\": \"must\", \"energy_per_day\": \"72 kWh\"");
    found f = find(van, trip);
    ck_assert_int_eq(f.remedies->has_pair, 0);
    for (int i = 0; i < f.remedies->count; i++)
        ck_assert_int_eq(sw_is_enough(&f.remedies->remedy[i].worst), 0);
    ck_assert_int_eq(f.remedies->smallest[0].units, 0);
    ck_assert_int_gt(f.remedies->tried, 5);
    forget(&f);
    free(van);
    free(trip);
}
END_TEST

START_TEST(they_are_ranked_by_what_counts)
{
    char *trip = week(), *van = thirsty("\"charge_per_day\": \"40 Ah\"");
    found f = find(van, trip);
    ck_assert_int_gt(f.remedies->count, 5);
    for (int i = 1; i < f.remedies->count; i++) {
        const sw_outcome *a = &f.remedies->remedy[i - 1].worst, *b = &f.remedies->remedy[i].worst;
        ck_assert(a->missed_wh < b->missed_wh + 1.0);
        if (a->missed_wh == b->missed_wh && a->under_days == b->under_days)
            ck_assert_double_ge(a->lowest_soc, b->lowest_soc - 1e-12);
    }
    forget(&f);
    free(van);
    free(trip);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        each_change_is_the_rehearsal_of_the_changed_files,
        a_raised_array_faces_the_noon_sun,
        the_night_at_a_hookup_is_the_best_of_all,
        the_smallest_that_holds_is_the_smallest,
        no_remedy_is_more_than_the_vehicle_bears,
        no_remedy_is_more_than_axles_and_roof_bear,
        a_pair_is_both_changes,
        where_nothing_helps_nothing_is_told,
        they_are_ranked_by_what_counts,
        the_main_switch_is_opened_while_laid_up,
        an_inverter_is_switched_on_for_a_medical_device,
        NULL,
    };
    return sw_suite_of("remedy", tests, 180);
}
