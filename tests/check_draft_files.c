// The texts of drafted files for every shape of van: the reader takes them without a word.
#include "support/checks.h"
#include "support/workshop.h"

#include "report/draft_files.h"
#include "stillwatt/civil.h"

#include <stdlib.h>

/* Writes a van and a trip of the answers and reads them back. */
static sw_plan *through_the_disk(const draft_answers *a)
{
    char *van = NULL, *trip = NULL;
    ck_assert_int_eq(sw_draft_van_text(a, &van), SW_OK);
    ck_assert_int_eq(sw_draft_trip_text(a, &trip), SW_OK);
    workshop_write("work/van.json", van);
    workshop_write("work/trip.json", trip);
    free(van);
    free(trip);
    return workshop_plan("work/trip.json");
}

static draft_answers usual_answers(void)
{
    draft_answers a = {.van_name = "Van", .van_file = "van.json", .station = "Moab", .station_is = "Moab UT"};
    a.first_day = sw_days_from_civil(2026, 2, 27);
    a.nights = a.people = a.batteries = 2;
    a.battery_ah = 105.5;
    for (int i = 0; i < DRAFT_ANSWERS; i++)
        a.said[i] = "as said";
    return a;
}

START_TEST(every_shape_of_van_reads_back_with_the_loads_it_should_have)
{
    workshop_begin();
    for (unsigned bits = 0; bits < 64; bits++) {
        for (int cooking = 0; cooking < DRAFT_COOKINGS; cooking++) {
            draft_answers a = usual_answers();
            a.shore = bits & 1;
            a.driving = bits >> 1 & 1;
            a.fridge = bits >> 2 & 1;
            a.heater = bits >> 3 & 1;
            a.chemistry = (int)(bits >> 4 & 1);
            a.panels = (bits >> 5 & 1) ? 2 : 0;
            a.panel_w = a.panels ? 182.5 : 0;
            a.cooking = cooking;
            a.inverter_w = cooking == DRAFT_GAS ? 0 : 1200;
            a.light_hours = (bits & 4) ? 12 : 0;
            a.laptops = (bits & 8) ? 12 : 0;
            sw_plan *plan = through_the_disk(&a);
            int loads = 4 + a.fridge + a.heater + (a.light_hours > 0) + (a.laptops > 0) + (cooking > 0);
            ck_assert_int_eq(plan->van->loads, loads);
            ck_assert_int_eq(plan->van->shore != NULL, a.shore);
            ck_assert_int_eq(plan->van->alternator != NULL, a.driving);
            ck_assert_int_eq(plan->van->inverter != NULL, a.inverter_w > 0);
            ck_assert_int_eq(plan->van->arrays, a.panels > 0);
            ck_assert_int_eq(plan->van->controller != NULL, a.panels > 0);
            ck_assert_double_eq(plan->van->battery.capacity_ah, 105.5);
            ck_assert_double_eq(plan->trip->reserve, a.chemistry == SW_AGM ? 0.5 : 0.2);
            sw_plan_free(plan);
        }
    }
    workshop_end();
}
END_TEST

/* At the ends of what may be answered the reader still has nothing to say; nor has it on any inverter. */
START_TEST(the_smallest_and_the_largest_answers_read_back)
{
    static const double inverters[] = {20, 33.3, 999, 1000, 12345, 20000};
    workshop_begin();
    for (size_t i = 0; i < sizeof inverters / sizeof inverters[0]; i++) {
        draft_answers a = usual_answers();
        int large = i % 2 == 1;
        a.inverter_w = inverters[i];
        a.people = large ? 12 : 1;
        a.batteries = large ? 32 : 1;
        a.battery_ah = large ? 5000 : 1;
        a.panels = large ? 40 : 1;
        a.panel_w = large ? 125 : 1;
        a.nights = large ? 90 : 1;
        a.cooking = inverters[i] >= 1200 ? DRAFT_INDUCTION : DRAFT_GAS;
        a.fridge = a.heater = 1;
        sw_plan *plan = through_the_disk(&a);
        ck_assert_double_eq(plan->van->inverter->rated_w, inverters[i]);
        sw_plan_free(plan);
    }
    workshop_end();
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        every_shape_of_van_reads_back_with_the_loads_it_should_have,
        the_smallest_and_the_largest_answers_read_back,
        NULL,
    };
    return sw_suite_of("draft_files", tests, 60);
}
