// Medical devices and vans laid up: what the verdict, the nights and the weeks say of them.
#include "stillwatt/rehearsal.h"
#include "support/checks.h"
#include "support/program.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define LIGHTS "\"lights\": {"
#define STAY   "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}"

/* The small trip with another load, another last leg and another first charge. */
static rehearsed trip_with(const char *load, const char *leg, const char *charge)
{
    char loads[500], start[100];
    snprintf(loads, sizeof loads, "%s, " LIGHTS, load);
    snprintf(start, sizeof start, "\"van\": \"van.json\", \"start_charge\": \"%s\",", charge);
    char *van = text_with(small_van, LIGHTS, loads);
    char *with_start = text_with(small_trip, "\"van\": \"van.json\",", start);
    char *trip = text_with(with_start, STAY, leg);
    rehearsed out = rehearse_texts(van, trip, 300);
    free(van);
    free(with_start);
    free(trip);
    return out;
}

// ---- medical devices ----

#define DEVICE(bus, medical)                                                                                 \
    "\"breathing device\": {\"kind\": \"steady\", \"bus\": \"" bus                                           \
    "\", \"power\": \"30 W\", \"hours\": \"22:00-06:30\", \"held\": \"must\", \"medical\": \"" medical "\"}"

/* Two nights from 22:00 to 6:30 of 30 W are 255 Wh each. */
START_TEST(each_night_has_its_line)
{
    rehearsed x = trip_with(DEVICE("dc", "yes"), STAY, "100 %");
    ck_assert_int_eq(x.r->medicals, 1);
    const sw_medical *device = &x.r->medical[0];
    ck_assert_double_eq(device->alone_w, 30.0);
    ck_assert_int_eq(device->nights, 2);
    for (int n = 0; n < 2; n++) {
        const sw_night *night = &device->night[n];
        ck_assert_int_eq(night->date, 20763 + n); // 6 and 7 November 2026
        ck_assert_double_eq_tol(night->asked_wh, 255.0, 1e-9);
        ck_assert_double_eq_tol(night->served_wh, 255.0, 1e-9);
        // What is over the floor, at some 13.2 V: between half of it and all of it at 13.6 V.
        double most_h = night->lowest_soc * 200.0 * 0.95 * 13.6 / 30.0;
        ck_assert_msg(night->hours_left > 0.7 * most_h && night->hours_left < most_h,
                      "%.1f h of at most %.1f h", night->hours_left, most_h);
    }
    ck_assert_int_eq(x.r->outcome.medical, -1);
    forget_rehearsed(&x);
}
END_TEST

/* On AC it takes the inverter's idle draw and losses besides. By hand: 2000 W, 15 W idle, 93 and 87 %: a =
   0.0753, b = 0.1494, p0 = 0.0075; sqrt(k2) = sqrt(p0) + sqrt(b - a) = 0.3588; k1 = a - 2 sqrt(p0 k2) =
   0.0131; at 30 W the loss is 15 + 0.0131 x 30 + 0.1287/2000 x 900 = 15.45 W. */
START_TEST(on_ac_it_takes_the_inverters_draw_besides)
{
    rehearsed x = trip_with(DEVICE("ac", "yes"), STAY, "100 %");
    ck_assert_double_eq_tol(x.r->medical[0].alone_w, 45.45, 0.02);
    forget_rehearsed(&x);
}
END_TEST

/* Without an inverter nothing carries it when the hookup is gone. */
START_TEST(on_ac_without_an_inverter_nothing_is_left_for_it)
{
    char *device = text_with(small_van, LIGHTS, DEVICE("ac", "yes") ", " LIGHTS);
    char *van = text_with(
        device, "\"inverter\": {\"rating\": \"2000 W\", \"hours\": [\"06:30-09:00\", \"17:00-22:00\"]},", "");
    char *trip = text_with(small_trip, STAY,
                           "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\", \"hookup\": "
                           "{\"current\": \"30 A\", \"voltage\": \"120 V\"}}");
    rehearsed x = rehearse_texts(van, trip, 300);
    ck_assert_int_eq(x.r->outcome.medical, -1);
    for (int n = 0; n < x.r->medical[0].nights; n++)
        ck_assert_double_eq(x.r->medical[0].night[n].hours_left, 0.0);
    forget_rehearsed(&x);
    free(trip);
    free(van);
    free(device);
}
END_TEST

/* 200 Wh a day, measured, between 22:00 and 6:00, are 25 W. */
START_TEST(a_measured_device_has_the_mean_of_its_hours)
{
    rehearsed x = trip_with(
        "\"measured device\": {\"kind\": \"measured\", \"bus\": \"dc\", \"energy_per_day\": \"200 Wh\", "
        "\"hours\": \"22:00-06:00\", \"medical\": \"yes\"}",
        STAY, "100 %");
    ck_assert_double_eq_tol(x.r->medical[0].alone_w, 25.0, 1e-9);
    ck_assert_double_gt(x.r->medical[0].night[0].hours_left, 50.0);
    forget_rehearsed(&x);
}
END_TEST

/* The small van's inverter is off at night: a device on AC goes without power, and that is no `holds`, though
   the battery has more than enough. The same load with no life on it is only told. */
START_TEST(an_inverter_that_is_off_is_no_holds)
{
    rehearsed medical = trip_with(DEVICE("ac", "yes"), STAY, "100 %"),
              plain = trip_with(DEVICE("ac", "no"), STAY, "100 %");
    ck_assert_int_eq(medical.r->outcome.verdict, SW_OUT);
    ck_assert_int_eq(medical.r->outcome.out_at_s == INT64_MIN, 1);
    ck_assert_str_eq(medical.plan->van->load[medical.r->outcome.medical].name, "breathing device");
    ck_assert_int_ne(plain.r->outcome.verdict, SW_OUT);
    ck_assert_int_eq(plain.r->medicals, 0);
    forget_rehearsed(&medical);
    forget_rehearsed(&plain);
}
END_TEST

static void says(const char *in, const char *text)
{
    ck_assert_msg(strstr(in, text) != NULL, "\"%s\" is not in:\n%s", text, in);
}

START_TEST(the_report_says_it_in_words_with_its_caution)
{
    char *folder = program_folder();
    char *van = text_with(small_van, LIGHTS, DEVICE("ac", "yes") ", " LIGHTS);
    program_write(folder, "van.json", van);
    program_write(folder, "trip.json", small_trip);
    program_run run = program_expect(folder, 0, "stillwatt rehearse trip.json");
    ck_assert_int_eq(strncmp(run.out, "OUT", 3), 0);
    says(run.out, "the medical device \"breathing");
    says(run.out, "goes without power, first at Fri 6 Nov");
    says(run.out, "MISSING; lowest charge");
    says(run.out, "ask clinician and supplier");
    program_forget(&run);
    run = program_expect(folder, 0, "stillwatt rehearse --json trip.json");
    says(run.out, "\"medical_without_power\":\t\"breathing device\"");
    says(run.out, "\"hours_left_alone\"");
    program_forget(&run);
    // A heater of 1500 W that 60 A cannot start at noon does not hide what happens at night.
    char *weak = text_with(van, "\"parallel\": 2,", "\"parallel\": 2, \"discharge_limit\": \"30 A\",");
    char *both = text_with(
        weak, "\"loads\": {",
        "\"loads\": {\"heater\": {\"kind\": \"use\", \"bus\": \"dc\", \"power\": \"1500 W\", \"each\": "
        "\"5 min\", \"at\": [\"13:30\"]}, ");
    program_write(folder, "van.json", both);
    run = program_expect(folder, 0, "stillwatt rehearse trip.json");
    says(run.out, "the medical device \"breathing");
    program_forget(&run);
    free(both);
    free(weak);
    run = program_expect(folder, 1, "stillwatt rehearse --require under trip.json");
    program_forget(&run);
    free(van);
    program_remove(folder);
}
END_TEST

// ---- laid up ----

#define STORE(keys) "{\"store\": \"mesa\", \"to\": \"2026-12-06 15:00\"" keys "}"
#define ALARM       "\"alarm\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"1.5 W\", \"stored\": \"on\"}"

static double stored_wh(const rehearsed *x, int load)
{
    double sum = 0.0;
    for (int h = 0; h < x->r->hours; h++)
        sum += x->r->hour[h].value[SW_LEDGER_STORED_H] > 0.0 ? x->r->hour[h].served_wh[load] : 0.0;
    return sum;
}

/* 30 days from 6 November 15:00 to 6 December 15:00: the alarm takes 1.5 W for 720 h; nothing else runs. */
START_TEST(laid_up_only_what_is_meant_to_runs)
{
    rehearsed x = trip_with(ALARM, STORE(", \"panels\": \"covered\""), "100 %");
    ck_assert_double_eq_tol(x.r->trip.value[SW_LEDGER_STORED_H], 720.0, 1e-9);
    for (int k = 0; k < x.plan->van->loads; k++) {
        int is_alarm = strcmp(x.plan->van->load[k].name, "alarm") == 0;
        ck_assert_double_eq_tol(stored_wh(&x, k), is_alarm ? 1.5 * 720.0 : 0.0, 1e-6);
    }
    forget_rehearsed(&x);
}
END_TEST

/* Behind the open switch nothing is served; what the battery loses by itself goes on: 2 % of its charge in 30
   days, and 0.3 W of management, 216 Wh or 16 Ah of 190 at some 13.3 V. */
START_TEST(behind_the_open_switch_only_the_battery_itself_loses)
{
    rehearsed open = trip_with(ALARM, STORE(""), "100 %"),
              covered = trip_with(ALARM, STORE(", \"panels\": \"covered\""), "100 %"),
              cut = trip_with(ALARM, STORE(", \"disconnected\": \"yes\""), "100 %");
    double left = cut.r->trip.value[SW_LEDGER_CHARGE] / 100.0;
    ck_assert_double_eq_tol(left, 1.0 - 0.0198 - 16.2 / 190.0, 0.01);
    for (int k = 0; k < cut.plan->van->loads; k++)
        ck_assert_double_eq(stored_wh(&cut, k), 0.0);
    ck_assert_double_gt(open.r->trip.value[SW_LEDGER_CHARGE], 90.0);
    ck_assert_double_lt(covered.r->trip.value[SW_LEDGER_CHARGE], 100.0 * left - 40.0);
    forget_rehearsed(&open);
    forget_rehearsed(&covered);
    forget_rehearsed(&cut);
}
END_TEST

/* Until the snow is gone the roof brings nothing. */
START_TEST(under_snow_the_roof_brings_nothing)
{
    rehearsed bare = trip_with(ALARM, STAY, "50 %"),
              buried = trip_with(
                  ALARM,
                  "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\", \"snow_until\": \"2026-11-07 12:00\"}",
                  "50 %");
    double before = 0.0, before_bare = 0.0, after = 0.0;
    int64_t noon_s = INT64_C(1794078000); // 7 November 2026, 12:00 in Denver
    for (int h = 0; h < buried.r->hours; h++) {
        const sw_account *hour = &buried.r->hour[h];
        int on_mesa = hour->start_s >= buried.r->course->itinerary->span[2].start_s,
            is_before = hour->start_s < noon_s;
        before += on_mesa && is_before ? hour->value[SW_LEDGER_SOLAR_OFFERED] : 0.0;
        before_bare += on_mesa && is_before ? bare.r->hour[h].value[SW_LEDGER_SOLAR_OFFERED] : 0.0;
        after += !is_before ? hour->value[SW_LEDGER_SOLAR_OFFERED] : 0.0;
    }
    ck_assert_double_eq(before, 0.0);
    ck_assert_double_gt(before_bare, 200.0);
    ck_assert_double_gt(after, 200.0);
    forget_rehearsed(&bare);
    forget_rehearsed(&buried);
}
END_TEST

/* A flat AGM bank at -20 degC freezes, a full one does not, and lithium has no water in it. */
START_TEST(a_flat_lead_battery_freezes_and_a_full_one_does_not)
{
    static const struct {
        const char *chemistry, *charge;
        int freezes;
    } cases[] = {{"agm", "10 %", 1}, {"agm", "95 %", 0}, {"lifepo4", "10 %", 0}};
    for (int i = 0; i < 3; i++) {
        char battery[200], sky[200], leg[200];
        snprintf(battery, sizeof battery,
                 "\"chemistry\": \"%s\", \"place\": \"outside\", \"mass\": \"60 kg\"", cases[i].chemistry);
        snprintf(sky, sizeof sky,
                 "{\"kind\": \"told\", \"otherwise\": {\"morning\": 8, \"afternoon\": 8, \"low\": \"-22 C\", "
                 "\"high\": \"-18 C\"}}");
        snprintf(leg, sizeof leg, "\"van\": \"van.json\", \"start_charge\": \"%s\",", cases[i].charge);
        char *large =
            text_with(small_van, "\"parallel\": 2", "\"parallel\": 8"); // the way there hardly fills it
        char *van = text_with(large, "\"chemistry\": \"lifepo4\"", battery);
        char *cold = text_with(small_trip, "{\"kind\": \"average\"}", sky);
        char *laid = text_with(cold, STAY, STORE(", \"disconnected\": \"yes\""));
        char *trip = text_with(laid, "\"van\": \"van.json\",", leg);
        rehearsed x = rehearse_texts(van, trip, 3600);
        ck_assert_int_eq(x.r->trip.value[SW_LEDGER_FROZEN_H] > 100.0, cases[i].freezes);
        ck_assert(cases[i].freezes || x.r->trip.value[SW_LEDGER_FROZEN_H] == 0.0);
        forget_rehearsed(&x);
        free(van);
        free(large);
        free(cold);
        free(laid);
        free(trip);
    }
}
END_TEST

START_TEST(a_winter_is_told_week_by_week)
{
    char *folder = program_folder();
    program_run run = program_expect(
        folder, 0, "stillwatt rehearse --step 60 " SW_SOURCE_DIR "/profiles/trips/winter-barn.json");
    ck_assert_int_eq(strncmp(run.out, "OUT", 3), 0);
    says(run.out, "Week by week");
    says(run.out, "the charge goes from 90 % to 0 %");
    says(run.out, "Most of it takes: always on");
    says(run.out, "open the battery's main");
    program_forget(&run);
    program_remove(folder);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        each_night_has_its_line,
        on_ac_it_takes_the_inverters_draw_besides,
        on_ac_without_an_inverter_nothing_is_left_for_it,
        a_measured_device_has_the_mean_of_its_hours,
        an_inverter_that_is_off_is_no_holds,
        the_report_says_it_in_words_with_its_caution,
        laid_up_only_what_is_meant_to_runs,
        behind_the_open_switch_only_the_battery_itself_loses,
        under_snow_the_roof_brings_nothing,
        a_flat_lead_battery_freezes_and_a_full_one_does_not,
        a_winter_is_told_week_by_week,
        NULL,
    };
    return sw_suite_of("medical devices and storage", tests, 60);
}
