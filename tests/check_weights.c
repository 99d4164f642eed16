// What an assumption weighs, against rehearsals of the trip with it moved, in the trip's own steps.
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdlib.h>

#define POINT     0.01
#define KETTLE_WH 75.0 // one use falls on this side of the cut-off or on the other

static sw_loader nothing_to_load(void)
{
    static memory_file file[] = {{NULL, NULL}};
    static memory_files files;
    files = (memory_files){.file = file};
    return memory_loader(&files);
}

static sw_outcome outcome_with(const rehearsed *x, const sw_assumption *a, double value)
{
    sw_loader loader = nothing_to_load();
    sw_messages *messages = sw_messages_create();
    sw_rehearsal *r;
    double before = *a->at;
    *a->at = value;
    ck_assert_int_eq(sw_rehearse(x->plan, &loader, 300, messages, &r), SW_OK);
    *a->at = before;
    sw_outcome out = r->outcome;
    sw_rehearsal_free(r);
    sw_messages_free(messages);
    return out;
}

/* @return how far the charge moves with the heaviest */
static double expect_weights(const rehearsed *x)
{
    double heaviest = 0.0;
    for (int i = 0; i < x->r->weights; i++) {
        const sw_weight *w = &x->r->weight[i];
        const sw_assumption *a = &x->plan->assumption[w->assumption];
        sw_outcome low = outcome_with(x, a, w->low), high = outcome_with(x, a, w->high);
        ck_assert_double_eq_tol(w->lowest_at_low, low.lowest_soc, POINT);
        ck_assert_double_eq_tol(w->lowest_at_high, high.lowest_soc, POINT);
        ck_assert_double_eq_tol(w->unserved_at_low, low.unserved_wh, KETTLE_WH + 0.05 * low.unserved_wh);
        ck_assert_double_eq_tol(w->unserved_at_high, high.unserved_wh, KETTLE_WH + 0.05 * high.unserved_wh);
        ck_assert(i == 0 || w->unserved_wh <= x->r->weight[i - 1].unserved_wh + 1.0);
        heaviest = fmax(heaviest, w->points);
    }
    return heaviest;
}

static double compare_all(const char *van, int goes_short)
{
    rehearsed x = rehearse_texts(van, small_trip, 300);
    ck_assert_int_gt(x.r->weights, 10);
    ck_assert_int_eq(x.r->outcome.unserved_wh > 5.0 * KETTLE_WH, goes_short);
    double heaviest = expect_weights(&x);
    forget_rehearsed(&x);
    return heaviest;
}

START_TEST(moving_an_assumption_moves_the_lowest_charge_as_a_rehearsal_of_its_own_does)
{
    ck_assert_double_gt(compare_all(small_van, 0), 3 * POINT);
}
END_TEST

START_TEST(where_the_bank_runs_empty_what_goes_unserved_is_weighed_too)
{
    char *thirsty = text_with(small_van, "\"10 Ah\"", "\"240 Ah\"");
    compare_all(thirsty, 1);
    free(thirsty);
}
END_TEST

static const sw_weight *weight_at(const rehearsed *x, const char *path)
{
    for (int i = 0; i < x->r->weights; i++)
        if (&x->plan->assumption[x->r->weight[i].assumption] == assumption_at(x->plan, path))
            return &x->r->weight[i];
    return NULL;
}

/* On steep panels under clear skies the ground counts; idling and the cabin are no matter of the march. */
START_TEST(place_road_and_cabin_are_weighed_by_courses_of_their_own)
{
    static const char *const paths[] = {"trip /places/mesa/albedo", "trip /places/mesa/turbidity",
                                        "trip /legs/1/idling", "trip /cabin_at_least"};
    char *van = text_with(small_van, "\"panels\": 2}", "\"panels\": 2, \"tilt\": \"60 deg\"}");
    rehearsed x = rehearse_texts(van, small_trip, 300);
    sw_loader loader = nothing_to_load();
    int before = x.r->weights, felt = 0;
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++)
        ck_assert_ptr_null(weight_at(&x, paths[i]));
    ck_assert_int_eq(sw_weigh_rest(x.r, &loader, NULL), SW_OK);
    ck_assert_int_gt(x.r->weights, before);
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        const sw_weight *w = weight_at(&x, paths[i]);
        ck_assert_msg(w != NULL || assumption_at(x.plan, paths[i]) == NULL, "%s", paths[i]);
        felt += w != NULL && w->points > 1e-4;
    }
    ck_assert_int_ge(felt, 2);
    expect_weights(&x);
    forget_rehearsed(&x);
    free(van);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        moving_an_assumption_moves_the_lowest_charge_as_a_rehearsal_of_its_own_does,
        where_the_bank_runs_empty_what_goes_unserved_is_weighed_too,
        place_road_and_cabin_are_weighed_by_courses_of_their_own,
        NULL,
    };
    return sw_suite_of("weights", tests, 60);
}
