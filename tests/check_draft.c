// The verb draft by options: the program runs in a fresh folder, and its files are read back.
#include "support/checks.h"
#include "support/workshop.h"

#include "stillwatt/civil.h"

#include <string.h>
#include <sys/stat.h>

START_TEST(options_give_two_files_and_the_verdict_comes_first)
{
    workshop_begin();
    ck_assert_int_eq(workshop_run("draft " WORKSHOP_ANSWERS), 0);
    ck_assert(workshop_has("work/van.json") && workshop_has("work/trip.json"));
    ck_assert_msg(strspn(workshop_out, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") >= 3, "no verdict first: %.80s",
                  workshop_out);
    ck_assert_ptr_nonnull(strstr(workshop_out, "Under the average November sky the charge"));
    ck_assert_ptr_null(strstr(workshop_err, "default"));
    workshop_end();
}
END_TEST

START_TEST(the_verdict_is_that_of_rehearse)
{
    static char drafted[sizeof workshop_out];
    workshop_begin();
    ck_assert_int_eq(workshop_run("draft " WORKSHOP_ANSWERS), 0);
    strcpy(drafted, workshop_out);
    ck_assert_int_eq(workshop_run("rehearse trip.json"), 0);
    ck_assert_str_eq(drafted, workshop_out);
    workshop_end();
}
END_TEST

START_TEST(drafted_files_pass_check_without_a_complaint)
{
    workshop_begin();
    ck_assert_int_eq(workshop_run("draft " WORKSHOP_ANSWERS), 0);
    ck_assert_int_eq(workshop_run("check van.json trip.json"), 0);
    ck_assert_str_eq(workshop_err, "");
    workshop_end();
}
END_TEST

START_TEST(the_files_hold_what_was_answered)
{
    workshop_begin();
    ck_assert_int_eq(workshop_run("draft " WORKSHOP_ANSWERS), 0);
    sw_plan *plan = workshop_plan("work/trip.json");
    const sw_van *van = plan->van;
    ck_assert_int_eq(van->battery.chemistry, SW_AGM);
    ck_assert_int_eq(van->battery.parallel, 2);
    ck_assert_double_eq(van->battery.capacity_ah, 105);
    ck_assert_int_eq(van->arrays, 1);
    ck_assert_int_eq(van->array[0].panels, 3);
    ck_assert_double_eq(van->array[0].rated_w, 175);
    ck_assert_double_ge(van->controller->limit_a, 525 / 12.0); // the panels' power at 12 V
    ck_assert_double_le(van->controller->limit_a, 525 / 12.0 + 10);
    ck_assert_double_eq(van->inverter->rated_w, 1500);
    ck_assert_ptr_null(van->shore);
    ck_assert_ptr_nonnull(van->alternator);
    ck_assert_ptr_nonnull(workshop_load(plan, "fridge"));
    ck_assert_ptr_nonnull(workshop_load(plan, "heater fan"));
    ck_assert_ptr_nonnull(workshop_load(plan, "induction hob"));
    ck_assert_ptr_null(workshop_load(plan, "kettle"));
    ck_assert_int_eq(workshop_load(plan, "laptops")->count, 2);
    ck_assert_int_eq(workshop_load(plan, "lights")->hours->from_min[0], 19 * 60 + 30);
    ck_assert_int_eq(workshop_load(plan, "lights")->hours->to_min[0], 22 * 60 + 30);
    ck_assert_double_eq(plan->trip->reserve, 0.5);
    ck_assert_str_eq(plan->trip->place[0].station, "Rifle CO");
    int64_t from = sw_days_from_civil(2026, 11, 6) * 86400, to = sw_days_from_civil(2026, 11, 11) * 86400;
    ck_assert_int_eq(plan->trip->leg[0].from_local_s, from + 16 * 3600);
    ck_assert_int_eq(plan->trip->leg[0].to_local_s, to + 10 * 3600);
    sw_plan_free(plan);
    workshop_end();
}
END_TEST

/* What does not depend on the people must not change, the rest must grow. */
START_TEST(loads_grow_with_the_people)
{
    workshop_begin();
    ck_assert_int_eq(workshop_run("draft --people 1"), 0);
    sw_plan *one = workshop_plan("work/trip.json");
    ck_assert_int_eq(workshop_run("draft --people 4 --force"), 0);
    sw_plan *four = workshop_plan("work/trip.json");
    ck_assert_double_eq(workshop_load(four, "water pump")->uses, 4 * workshop_load(one, "water pump")->uses);
    ck_assert_double_eq(workshop_load(four, "kettle")->each_s, 4 * workshop_load(one, "kettle")->each_s);
    ck_assert_int_eq(workshop_load(one, "phones")->count, 1);
    ck_assert_int_eq(workshop_load(four, "phones")->count, 4);
    ck_assert_double_gt(workshop_load(four, "lights")->power_w, workshop_load(one, "lights")->power_w);
    ck_assert_double_gt(workshop_load(four, "fridge")->reference_wh,
                        workshop_load(one, "fridge")->reference_wh);
    ck_assert_double_eq(workshop_load(four, "always on")->power_w, workshop_load(one, "always on")->power_w);
    ck_assert_int_eq(workshop_load(four, "laptops")->count, workshop_load(one, "laptops")->count);
    sw_plan_free(one);
    sw_plan_free(four);
    workshop_end();
}
END_TEST

START_TEST(what_nobody_said_is_named_in_the_files_and_on_the_terminal)
{
    static char van[1 << 14], trip[1 << 13];
    workshop_begin();
    ck_assert_int_eq(workshop_run("draft --nights 4 --battery '100 Ah lifepo4'"), 0);
    workshop_read("work/van.json", van, sizeof van);
    workshop_read("work/trip.json", trip, sizeof trip);
    // Of the eleven answers of a van one was given, of the four of a trip one.
    ck_assert_int_eq(workshop_count(van, "  (default)\n"), 10);
    ck_assert_int_eq(workshop_count(trip, "  (default)\n"), 3);
    ck_assert_ptr_nonnull(strstr(trip, "\"4\"\n"));
    ck_assert_ptr_nonnull(strstr(workshop_err, "--station Moab"));
    ck_assert_ptr_null(strstr(workshop_err, "--nights"));
    workshop_end();
}
END_TEST

START_TEST(all_of_it_fits_eighty_columns)
{
    static char van[1 << 14], trip[1 << 13];
    workshop_begin();
    ck_assert_int_eq(workshop_run("draft --cooking induction"), 0);
    workshop_read("work/van.json", van, sizeof van);
    workshop_read("work/trip.json", trip, sizeof trip);
    ck_assert_uint_le(workshop_widest(van), 80);
    ck_assert_uint_le(workshop_widest(trip), 80);
    ck_assert_uint_le(workshop_widest(workshop_out), 80);
    ck_assert_uint_le(workshop_widest(workshop_err), 80);
    ck_assert_int_eq(workshop_run("draft --help"), 0);
    ck_assert_uint_le(workshop_widest(workshop_out), 80);
    workshop_end();
}
END_TEST

START_TEST(us_units_are_used_in_the_files_and_mean_the_same)
{
    static char van[1 << 14];
    workshop_begin();
    ck_assert_int_eq(workshop_run("draft --nights 2"), 0);
    sw_plan *si = workshop_plan("work/trip.json");
    ck_assert_int_eq(workshop_run("draft --nights 2 --units us --force"), 0);
    sw_plan *us = workshop_plan("work/trip.json");
    workshop_read("work/van.json", van, sizeof van);
    ck_assert_ptr_nonnull(strstr(van, "\"77 F\""));
    ck_assert_ptr_nonnull(strstr(van, "\"50 F\""));
    // Conversion of a Fahrenheit temperature rounds in the last places only.
    ck_assert_double_eq_tol(workshop_load(us, "roof fan")->outside_above_c,
                            workshop_load(si, "roof fan")->outside_above_c, 1e-9);
    ck_assert_double_eq_tol(us->trip->cabin_least_c, si->trip->cabin_least_c, 1e-9);
    sw_plan_free(si);
    sw_plan_free(us);
    workshop_end();
}
END_TEST

// ---- one file of the two ----

START_TEST(a_van_alone_writes_no_trip_and_says_what_comes_next)
{
    workshop_begin();
    ck_assert_int_eq(workshop_run("draft van --people 2"), 0);
    ck_assert(workshop_has("work/van.json") && !workshop_has("work/trip.json"));
    ck_assert_str_eq(workshop_out, "");
    ck_assert_ptr_nonnull(strstr(workshop_err, "stillwatt draft trip --van van.json"));
    workshop_end();
}
END_TEST

START_TEST(a_trip_alone_names_its_van_relative_to_itself)
{
    static char trip[1 << 13];
    workshop_begin();
    ck_assert_int_eq(mkdir(workshop_path("work/vans"), 0755), 0);
    ck_assert_int_eq(mkdir(workshop_path("work/trips"), 0755), 0);
    ck_assert_int_eq(workshop_run("draft van --battery '100 Ah agm' --out vans"), 0);
    ck_assert_int_eq(workshop_run("draft trip --van vans/van.json --nights 2 --out trips/"), 0);
    workshop_read("work/trips/trip.json", trip, sizeof trip);
    ck_assert_ptr_nonnull(strstr(trip, "\"van\": \"../vans/van.json\""));
    ck_assert_ptr_nonnull(strstr(trip, "\"reserve\": \"50 %\""));
    ck_assert(!workshop_has("work/trips/van.json"));
    workshop_end();
}
END_TEST

START_TEST(a_trip_of_a_wrong_van_is_not_written)
{
    workshop_begin();
    workshop_write("bad.json", "{\"format\": \"stillwatt van 1\"}");
    ck_assert_int_eq(workshop_run("draft trip --van ../bad.json --nights 2"), 3);
    ck_assert_ptr_nonnull(strstr(workshop_err, "bad.json"));
    ck_assert_int_eq(workshop_run("draft trip --van ../none.json --nights 2"), 4);
    workshop_assert_empty();
    workshop_end();
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        options_give_two_files_and_the_verdict_comes_first,
        the_verdict_is_that_of_rehearse,
        drafted_files_pass_check_without_a_complaint,
        the_files_hold_what_was_answered,
        loads_grow_with_the_people,
        what_nobody_said_is_named_in_the_files_and_on_the_terminal,
        all_of_it_fits_eighty_columns,
        us_units_are_used_in_the_files_and_mean_the_same,
        a_van_alone_writes_no_trip_and_says_what_comes_next,
        a_trip_alone_names_its_van_relative_to_itself,
        a_trip_of_a_wrong_van_is_not_written,
        NULL,
    };
    return sw_suite_of("draft", tests, 60);
}
