// Whole rehearsals on odd days: 25 hours of night and day in New York, and a place with own monthly means.
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include "stillwatt/civil.h"
#include "stillwatt/rehearsal.h"

#include <math.h>
#include <stdlib.h>

static const char bare_van[] =
    "{\"format\": \"stillwatt van 1\", \"name\": \"Bare\", \"battery\": {\"chemistry\": \"lifepo4\", "
    "\"capacity\": "
    "\"200 Ah\"}, \"loads\": {\"pump\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"10 W\"}}}";

static sw_rehearsal *rehearse(const sw_plan *plan, int32_t step_s)
{
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_rehearsal *out = NULL;
    sw_status status = sw_rehearse(plan, &loader, step_s, messages, &out);
    if (status != SW_OK)
        print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return out;
}

static const sw_account *account_of(const sw_rehearsal *r, int64_t date)
{
    for (int i = 0; i < r->days; i++)
        if (r->course->itinerary->day[r->day[i].day].date == date)
            return &r->day[i];
    ck_abort_msg("the day is not in the ledger");
    return NULL;
}

static void check_served(const char *van, const char *legs, int32_t step_s, int64_t date, double wanted_wh)
{
    char *trip = trip_of_legs(legs);
    sw_plan *plan = plan_of_trip(van, trip);
    sw_rehearsal *r = rehearse(plan, step_s);
    const sw_account *day = account_of(r, date);
    // The sum of a few hundred steps of 10 W.
    ck_assert_double_eq_tol(day->value[SW_LEDGER_SERVED], wanted_wh, 1e-9 * wanted_wh);
    ck_assert_double_eq_tol(day->served_wh[0], wanted_wh, 1e-9 * wanted_wh);
    ck_assert_double_eq(day->value[SW_LEDGER_SOLAR_USED], 0);
    ck_assert_double_eq_tol(day->value[SW_LEDGER_UNSERVED_WANT], 0, 1e-9);
    sw_rehearsal_free(r);
    sw_plan_free(plan);
    free(trip);
}

#define NOVEMBER "{\"stay\": \"new york\", \"from\": \"2026-10-31 12:00\", \"to\": \"2026-11-02 12:00\"}"
#define MARCH    "{\"stay\": \"new york\", \"from\": \"2026-03-07 12:00\", \"to\": \"2026-03-09 12:00\"}"

START_TEST(ten_watts_take_250_wh_on_a_day_of_25_hours)
{
    check_served(bare_van, NOVEMBER, 300, sw_days_from_civil(2026, 11, 1), 250);
    check_served(bare_van, NOVEMBER, 3600, sw_days_from_civil(2026, 11, 1), 250);
}
END_TEST

START_TEST(ten_watts_take_230_wh_on_a_day_of_23_hours)
{
    check_served(bare_van, MARCH, 300, sw_days_from_civil(2026, 3, 8), 230);
}
END_TEST

START_TEST(a_measured_load_takes_the_same_on_the_long_day)
{
    char *van = text_with(bare_van, "\"steady\", \"bus\": \"dc\", \"power\": \"10 W\"",
                          "\"measured\", \"bus\": \"dc\", \"energy_per_day\": \"240 Wh\"");
    check_served(van, NOVEMBER, 300, sw_days_from_civil(2026, 11, 1), 240);
    free(van);
}
END_TEST

/* "denver" has 2 kWh/m2 on a mean day of each month. The average sky scales its days to the mean; the line
   between months of unequal clearness moves the middle of November by under 5 %. */
START_TEST(own_monthly_means_give_their_sun)
{
    char *trip =
        trip_of_legs("{\"stay\": \"denver\", \"from\": \"2026-11-15 00:00\", \"to\": \"2026-11-17 00:00\"}");
    sw_plan *plan = plan_of_trip(small_van, trip);
    sw_rehearsal *r = rehearse(plan, 300);
    for (int i = 0; i < 2; i++) {
        double sun = r->day[i].value[SW_LEDGER_SUN];
        ck_assert_double_eq_tol(sun, 2000, 100);
        ck_assert_double_gt(r->day[i].value[SW_LEDGER_SOLAR_OFFERED], 0);
        ck_assert_double_eq_tol(r->day[i].value[SW_LEDGER_AIR], 5, 1.5); // lows of 0, highs of 10
    }
    ck_assert(r->has_poor);
    ck_assert(r->poor.lowest_soc <= r->outcome.lowest_soc);
    sw_rehearsal_free(r);
    sw_plan_free(plan);
    free(trip);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        ten_watts_take_250_wh_on_a_day_of_25_hours, ten_watts_take_230_wh_on_a_day_of_23_hours,
        a_measured_load_takes_the_same_on_the_long_day, own_monthly_means_give_their_sun, NULL};
    return sw_suite_of("long day", tests, 30);
}
