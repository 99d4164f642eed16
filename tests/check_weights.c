// What an assumption weighs, against rehearsals of the trip with it moved, in the trip's own steps.
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdlib.h>

#define POINT     0.01
#define KETTLE_WH 75.0 // one use falls on this side of the cut-off or on the other

static sw_outcome outcome_with(const rehearsed *x, const sw_assumption *a, double value)
{
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
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
static double compare_all(const char *van, int goes_short)
{
    rehearsed x = rehearse_texts(van, small_trip, 300);
    double heaviest = 0.0;
    ck_assert_int_gt(x.r->weights, 10);
    ck_assert_int_eq(x.r->outcome.unserved_wh > 5.0 * KETTLE_WH, goes_short);
    for (int i = 0; i < x.r->weights; i++) {
        const sw_weight *w = &x.r->weight[i];
        const sw_assumption *a = &x.plan->assumption[w->assumption];
        sw_outcome low = outcome_with(&x, a, w->low), high = outcome_with(&x, a, w->high);
        ck_assert_double_eq_tol(w->lowest_at_low, low.lowest_soc, POINT);
        ck_assert_double_eq_tol(w->lowest_at_high, high.lowest_soc, POINT);
        ck_assert_double_eq_tol(w->unserved_at_low, low.unserved_wh, KETTLE_WH + 0.05 * low.unserved_wh);
        ck_assert_double_eq_tol(w->unserved_at_high, high.unserved_wh, KETTLE_WH + 0.05 * high.unserved_wh);
        heaviest = fmax(heaviest, w->points);
    }
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

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        moving_an_assumption_moves_the_lowest_charge_as_a_rehearsal_of_its_own_does,
        where_the_bank_runs_empty_what_goes_unserved_is_weighed_too,
        NULL,
    };
    return sw_suite_of("weights", tests, 60);
}
