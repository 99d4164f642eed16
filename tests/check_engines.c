// Generator and engine at idle: when they run, what they feed, and what they burn.
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/program.h"
#include "support/random_case.h"
#include "support/small_plan.h"

#include "stillwatt/rehearsal.h"
#include "trip/engines.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define STAY  "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}"
#define SHORE "\"shore\": {"

/* The small trip rehearsed with more said of the stay on the mesa, the place and the van. */
static rehearsed camp_with(const char *stay, const char *place, int32_t step_s)
{
    char stay_text[300], place_text[200];
    snprintf(stay_text, sizeof stay_text, "{\"stay\": \"mesa\", %s, \"to\": \"2026-11-08 10:00\"}", stay);
    snprintf(place_text, sizeof place_text, "\"zone\": \"America/Denver\"%s", place);
    char *large = text_with(small_van, "\"parallel\": 2", "\"parallel\": 6");
    char *van =
        text_with(large, SHORE,
                  "\"generator\": {\"rating\": \"1000 W\", \"idle_fuel\": \"0.2 L\", \"fuel_per_kwh\": "
                  "\"0.5 L\"}, " SHORE);
    char *with_place = text_with(small_trip, "\"zone\": \"America/Denver\"", place_text);
    char *trip = text_with(with_place, STAY, stay_text);
    char *low =
        text_with(trip, "\"van\": \"van.json\",", "\"van\": \"van.json\", \"start_charge\": \"40 %\",");
    rehearsed out = rehearse_texts(van, low, step_s);
    free(large);
    free(van);
    free(with_place);
    free(trip);
    free(low);
    return out;
}

static double hours(const rehearsed *c, sw_ledger_column column)
{
    return c->r->trip.value[column];
}

START_TEST(they_run_by_the_clock_of_the_place_and_rest_in_quiet_hours)
{
    // 7 November is whole, the 6th has 15:00 to 24:00, the 8th 00:00 to 10:00.
    static const struct {
        const char *stay, *place;
        double generator_h, engine_h;
    } cases[] = {
        {"\"generator_hours\": \"16:00-17:30\"", "", 3.0, 0.0},
        {"\"engine_hours\": \"16:00-17:30\"", "", 0.0, 3.0},
        {"\"generator_hours\": \"09:00-11:00\", \"engine_hours\": \"20:00-20:45\"", "", 3.0, 1.5},
        {"\"generator_hours\": \"19:00-21:00\"", ", \"quiet_hours\": \"20:00-08:00\"", 2.0, 0.0},
        {"\"generator_hours\": \"23:30-00:30\"", "", 2.0, 0.0},
        {"\"engine_hours\": \"07:00-09:00\"", ", \"quiet_hours\": \"20:00-08:00\"", 0.0, 2.0},
        {"\"generator_hours\": \"09:00-17:00\", \"hookup\": {\"current\": \"15 A\", \"voltage\": \"120 V\"}",
         "", 0.0, 0.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        rehearsed c = camp_with(cases[i].stay, cases[i].place, 300);
        double generator = hours(&c, SW_LEDGER_GENERATOR_H), engine = hours(&c, SW_LEDGER_ENGINE_IDLE_H);
        ck_assert_msg(fabs(generator - cases[i].generator_h) < 1e-9 &&
                          fabs(engine - cases[i].engine_h) < 1e-9,
                      "case %zu: generator %.3f h, engine %.3f h", i, generator, engine);
        forget_rehearsed(&c);
    }
}
END_TEST

/* A step is the generator's by more than half of it, the engine's by its minutes. */
START_TEST(long_steps_keep_the_engines_minutes)
{
    rehearsed c =
        camp_with("\"engine_hours\": \"16:10-16:40\", \"generator_hours\": \"19:20-20:00\"", "", 3600);
    ck_assert_double_eq_tol(hours(&c, SW_LEDGER_ENGINE_IDLE_H), 2 * 0.5, 1e-12);
    ck_assert_double_eq_tol(hours(&c, SW_LEDGER_GENERATOR_H), 2.0, 1e-12);
    forget_rehearsed(&c);
}
END_TEST

/* By hand: the charger gives 500 W, at 88 % and power factor 0.95 it takes 568 W, under the 1000 W; the bank
   is low enough to take all. The alternator spares 30 A at 13.8 V for a converter of 90 %: 372.6 W, at most
   its 360 W. */
START_TEST(they_bring_what_charger_and_converter_can_take_and_burn_fuel_for_it)
{
    rehearsed c =
        camp_with("\"generator_hours\": \"16:30-18:30\", \"engine_hours\": \"19:00-20:00\"", "", 300);
    double generator_wh = hours(&c, SW_LEDGER_GENERATOR), engine_wh = hours(&c, SW_LEDGER_ENGINE_IDLE);
    ck_assert_double_eq_tol(generator_wh, 4.0 * 500.0 / 0.88, 1e-6);
    ck_assert_double_eq_tol(engine_wh, 2.0 * 360.0, 1e-6);
    // Hookup in town and the drive stand in the same columns and are not theirs.
    ck_assert_double_gt(hours(&c, SW_LEDGER_CHARGER_IN), generator_wh + 100.0);
    ck_assert_double_gt(hours(&c, SW_LEDGER_ALTERNATOR_USED), engine_wh + 100.0);
    ck_assert_double_eq_tol(c.r->tanks.generator_fuel_l, 4.0 * 0.2 + generator_wh / 1000.0 * 0.5, 1e-9);
    ck_assert_double_eq_tol(c.r->tanks.engine_fuel_l, 2.0 * 1.0, 1e-9); // 1 L an hour is assumed
    ck_assert_ptr_nonnull(assumption_at(c.plan, "van /vehicle/idle_fuel"));
    forget_rehearsed(&c);
}
END_TEST

/* A load that runs on hookups only is not started by the generator. */
START_TEST(a_generator_is_no_hookup_to_conditions)
{
    rehearsed c = camp_with("\"generator_hours\": \"16:30-18:30\"", "", 300);
    const sw_forcing *f = &c.r->course->forcing[0];
    int fed = 0;
    for (int32_t i = 0; i < f->steps; i++) {
        int is_generator = c.r->course->generator_share[i] > 0.0;
        fed += is_generator;
        ck_assert_int_eq(is_generator && (f->flags[i] & SW_STEP_SHORE) != 0, 0);
        ck_assert(!is_generator || (f->pedestal_va[i] == 1000.0 && f->pedestal_steady_share[i] == 1.0));
    }
    ck_assert_int_eq(fed, 48);
    forget_rehearsed(&c);
}
END_TEST

static void says(const char *in, const char *text)
{
    ck_assert_msg(strstr(in, text) != NULL, "\"%s\" is not in:\n%s", text, in);
}

/* What goes on reading, with a warning; what does not. */
/* 20 min of driving from cold, with a time constant of 10 min: after each 5 min e^(-1/2) of the cold is left,
   and the mean over them is 2 (1 - e^(-1/2)) of what there was. Two hours of rest give back 1 - 1/e. */
START_TEST(an_alternator_warms_as_it_runs_and_cools_as_it_rests)
{
    sw_forcing f = sw_forcing_made(4 + 24 + 1, 300, 0);
    fill_column(f.cruise_share, 0, 3, 1.0);
    fill_column(f.idle_share, 3, 1, 0.1);
    fill_column(f.idle_share, 28, 1, 1.0);
    const sw_alternator_spec alternator = {.warms_s = 600.0};
    sw_engines_warm(&alternator, &f);
    double left = exp(-0.5), mean = 2.0 * (1.0 - left), cold = 1.0;
    for (int i = 0; i < 4; i++, cold *= left)
        ck_assert_double_eq_tol(f.engine_cold[i], cold * mean, 1e-12);
    cold = 1.0 - (1.0 - cold) * exp(-1.0);
    ck_assert_double_eq_tol(f.engine_cold[28], cold * mean, 1e-12);
    sw_forcing_unmake(&f);
}
END_TEST

START_TEST(a_cold_alternator_brings_more_on_a_drive)
{
    char *van = text_with(small_van, "\"360 W\"", "\"1200 W\", \"cold_spare_cruise\": \"90 A\"");
    char *plain = text_with(small_van, "\"360 W\"", "\"1200 W\"");
    rehearsed cold = rehearse_texts(van, small_trip, 300), warm = rehearse_texts(plain, small_trip, 300);
    double more_wh =
        cold.r->trip.value[SW_LEDGER_ALTERNATOR_OFFERED] - warm.r->trip.value[SW_LEDGER_ALTERNATOR_OFFERED];
    // 30 A more on the road, where 85 % of the drive is, for 10 min of it; all the warming is within 2 h
    ck_assert_double_eq_tol(more_wh, 0.85 * 30.0 * 13.8 * 0.90 * (600.0 / 3600.0) * -expm1(-12.0), 0.01);
    ck_assert_ptr_nonnull(assumption_at(cold.plan, "van /alternator/warms_in"));
    ck_assert_ptr_null(assumption_at(warm.plan, "van /alternator/warms_in"));
    forget_rehearsed(&cold);
    forget_rehearsed(&warm);
    free(van);
    free(plain);
}
END_TEST

/* 8 kW of kettle at the hookup: too much for one leg of 50 A, and more so for one whose voltage sags to 105
   V; two legs carry it. */
START_TEST(two_hot_legs_carry_twice_and_a_weak_pedestal_less)
{
    static const struct {
        const char *inlet, *hookup;
        double over_va;
    } cases[] = {
        {"\"50 A\"", "\"50 A\", \"voltage\": \"120 V\"", 2000.0},
        {"\"50 A\"", "\"50 A\", \"voltage\": \"105 V\"", 2750.0},
        {"\"50 A\", \"hot_legs\": 2", "\"50 A\", \"hot_legs\": 2, \"voltage\": \"120 V\"", 0.0},
        {"\"50 A\", \"hot_legs\": 2", "\"50 A\", \"voltage\": \"120 V\"", 2000.0},
        {"\"50 A\"", "\"50 A\", \"hot_legs\": 2, \"voltage\": \"120 V\"", 2000.0},
    };
    char *noon = text_with(small_van, "[\"07:10\", \"16:10\"]", "\"12:20\"");
    char *strong = text_with(noon, "\"900 W\"", "\"8 kW\"");
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char *van = text_with(strong, "\"30 A\", \"inlet_voltage\"", "INLET, \"inlet_voltage\"");
        char *trip = text_with(small_trip, "\"30 A\", \"voltage\": \"120 V\"", cases[i].hookup);
        char *fitted = text_with(van, "INLET", cases[i].inlet);
        rehearsed x = rehearse_texts(fitted, trip, 300);
        ck_assert_double_eq_tol(x.r->greatest_shore_overload_w, cases[i].over_va, 1e-6);
        forget_rehearsed(&x);
        free(van);
        free(trip);
        free(fitted);
    }
    free(noon);
    free(strong);
}
END_TEST

START_TEST(hours_that_make_no_sense_are_told)
{
    static const struct {
        const char *alternator, *stay, *says;
        sw_status status;
    } cases[] = {
        {"\"alternator\": {\"converter_output\": \"360 W\"},", "\"engine_hours\": \"19:00-21:00\"",
         "60 min of these hours lie within the quiet hours of \"mesa\": nothing runs then", SW_OK},
        {"", "\"engine_hours\": \"09:00-10:00\"",
         "the engine would idle for nothing: the van has no charging from its alternator", SW_BAD_INPUT},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char stay[200], told[1000] = "";
        snprintf(stay, sizeof stay, "{\"stay\": \"mesa\", %s, \"to\": \"2026-11-08 10:00\"}", cases[i].stay);
        char *van =
            text_with(small_van, "\"alternator\": {\"converter_output\": \"360 W\"},", cases[i].alternator);
        char *quiet = text_with(small_trip, "\"zone\"", "\"quiet_hours\": \"20:00-08:00\", \"zone\"");
        char *trip = text_with(quiet, STAY, stay);
        memory_file file[] = {{"van.json", van}, {"trip.json", trip}, {NULL, NULL}};
        memory_files files = {.file = file};
        sw_loader loader = memory_loader(&files);
        sw_messages *messages = sw_messages_create();
        sw_plan *plan = NULL;
        ck_assert_int_eq(sw_read_trip(&loader, "trip.json", messages, &plan), cases[i].status);
        ck_assert_int_eq((int)sw_messages_count(messages), 1);
        sw_message_format(sw_messages_at(messages, 0), told, sizeof told);
        says(told, cases[i].says);
        sw_messages_free(messages);
        sw_plan_free(plan);
        free(van);
        free(quiet);
        free(trip);
    }
}
END_TEST

/* Four lithium units pull through a thick cable what a converter would have limited; of a smart
   alternator's 12.7 V they take hardly anything. */
START_TEST(a_relay_overloads_the_alternator_on_lithium)
{
    static const struct {
        const char *alternator;
        int overloads;
    } cases[] = {{"{\"path\": \"relay\", \"cable\": \"4 mohm\"}", 1},
                 {"{\"path\": \"relay\", \"cable\": \"4 mohm\", \"kind\": \"smart\"}", 0},
                 {"{\"converter_output\": \"360 W\"}", 0}};
    char *folder = program_folder();
    char *large = text_with(small_van, "\"parallel\": 2", "\"parallel\": 4");
    char *low =
        text_with(small_trip, "\"van\": \"van.json\",", "\"van\": \"van.json\", \"start_charge\": \"20 %\",");
    program_write(folder, "trip.json", low);
    for (int i = 0; i < 3; i++) {
        char *van = text_with(large, "{\"converter_output\": \"360 W\"}", cases[i].alternator);
        program_write(folder, "van.json", van);
        program_run run = program_expect(folder, 0, "stillwatt rehearse trip.json");
        ck_assert_int_eq(strstr(run.out, "Through the relay the battery pulls up to") != NULL,
                         cases[i].overloads);
        ck_assert_int_eq(strstr(run.out, "An overloaded alternator") != NULL, cases[i].overloads);
        program_forget(&run);
        free(van);
    }
    // A battery that rests over the alternator's voltage takes nothing of a drive, and is told so.
    char *smart = text_with(large, "{\"converter_output\": \"360 W\"}", cases[1].alternator);
    program_write(folder, "van.json", smart);
    program_write(folder, "trip.json", small_trip);
    program_run run = program_expect(folder, 0, "stillwatt rehearse trip.json");
    ck_assert_ptr_nonnull(strstr(run.out, "Driving charges nothing: the alternator's 12.7 V"));
    program_forget(&run);
    free(smart);
    free(large);
    free(low);
    program_remove(folder);
}
END_TEST

START_TEST(the_demo_shows_fuel_tanks_and_the_caution)
{
    char *folder = program_folder();
    program_run run =
        program_expect(folder, 0, "stillwatt rehearse " SW_SOURCE_DIR "/profiles/trips/wet-forest.json");
    says(run.out, "generator   ");
    says(run.out, "engine at idle");
    says(run.out, "(9 h, ");
    says(run.out, "First the toilet is full");
    says(run.out, "then the fresh water runs out");
    says(run.out, "Exhaust kills");
    says(run.out, "licensed\n    practitioner");
    program_forget(&run);
    program_remove(folder);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        they_run_by_the_clock_of_the_place_and_rest_in_quiet_hours,
        long_steps_keep_the_engines_minutes,
        they_bring_what_charger_and_converter_can_take_and_burn_fuel_for_it,
        a_generator_is_no_hookup_to_conditions,
        an_alternator_warms_as_it_runs_and_cools_as_it_rests,
        a_cold_alternator_brings_more_on_a_drive,
        two_hot_legs_carry_twice_and_a_weak_pedestal_less,
        hours_that_make_no_sense_are_told,
        a_relay_overloads_the_alternator_on_lithium,
        the_demo_shows_fuel_tanks_and_the_caution,
        NULL,
    };
    return sw_suite_of("engines", tests, 60);
}
