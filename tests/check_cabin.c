// The cabin: one node against the exponential and against a slow sum, thermostats, moist air, and whole
// trips.
#include "stillwatt/cabin.h"
#include "stillwatt/rehearsal.h"
#include "support/checks.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// ---- one node ----

static const sw_cabin_step plain = {.hours = 1.0, .heat_wh_k = 100.0, .loss_w_k = 50.0, .outside_c = 5.0};

/* C/UA are two hours: after 1, 2, 6 h a cabin of 21 degC has 16 K exp(-t/2) left over 5 degC outside. */
START_TEST(left_alone_it_decays_as_the_exponential)
{
    static const double hours[] = {1.0, 2.0, 6.0};
    for (int i = 0; i < 3; i++) {
        sw_cabin_step s = plain;
        s.hours = hours[i];
        ck_assert_double_eq_tol(sw_cabin_after_c(21.0, &s), 5.0 + 16.0 * exp(-hours[i] / 2.0), 1e-12);
        double c = 21.0; // the same in 5-minute steps
        s.hours = 1.0 / 12.0;
        for (int k = 0; k < (int)(hours[i] * 12.0 + 0.5); k++)
            c = sw_cabin_after_c(c, &s);
        ck_assert_double_eq_tol(c, 5.0 + 16.0 * exp(-hours[i] / 2.0), 1e-11);
    }
}
END_TEST

/* Second by second: walls, a draft and gains. */
START_TEST(it_follows_walls_draft_and_gains)
{
    sw_cabin_step s = plain;
    s.draft_w_k = 80.0;
    s.draft_c = 18.0;
    s.gains_w = 400.0;
    double c = 30.0;
    for (int k = 0; k < 3600; k++)
        c += (50.0 * (5.0 - c) + 80.0 * (18.0 - c) + 400.0) / 100.0 / 3600.0;
    ck_assert_double_eq_tol(sw_cabin_after_c(30.0, &s), c, 2e-3);
}
END_TEST

/* Keeping 20 degC over 5 degC takes 750 W; a heater of 1500 W runs half of the time, one of 500 W all of it.
 */
START_TEST(thermostats_are_asked_for_what_ends_the_step_at_their_mark)
{
    ck_assert_double_eq_tol(sw_cabin_power_to_w(20.0, 20.0, &plain), 750.0, 1e-9);
    ck_assert_double_eq_tol(sw_cabin_share_to(20.0, 20.0, 1500.0, &plain), 0.5, 1e-12);
    ck_assert_double_eq(sw_cabin_share_to(20.0, 20.0, 500.0, &plain), 1.0);
    ck_assert_double_eq(sw_cabin_share_to(30.0, 20.0, 500.0, &plain),
                        0.0); // it does not fall so far by itself
    ck_assert_double_eq_tol(sw_cabin_share_to(30.0, 20.0, -2000.0, &plain),
                            -sw_cabin_power_to_w(30.0, 20.0, &plain) / 2000.0, 1e-12);
    sw_cabin_step s = plain;
    s.gains_w = sw_cabin_power_to_w(12.0, 20.0, &plain);
    ck_assert_double_eq_tol(sw_cabin_after_c(12.0, &s), 20.0, 1e-12);
}
END_TEST

START_TEST(a_draft_is_thinned_until_it_ends_the_step_at_its_mark)
{
    sw_cabin_step s = {1.0, 100.0, 50.0, 38.0, 200.0, 28.0, 300.0};
    double share = sw_cabin_draft_to(36.0, 33.0, &s);
    ck_assert(share > 0.1 && share < 0.9);
    s.draft_w_k *= share;
    ck_assert_double_eq_tol(sw_cabin_after_c(36.0, &s), 33.0, 1e-9);
    s.draft_w_k = 200.0;
    ck_assert_double_eq(sw_cabin_draft_to(36.0, 20.0, &s), 1.0);
    ck_assert_double_eq(sw_cabin_draft_to(36.0, 50.0, &s), 0.0);
}
END_TEST

// ---- moist air ----

START_TEST(humidity_follows_the_dew_point)
{
    ck_assert_double_eq(sw_humidity_pct(20.0, 20.0), 100.0);
    ck_assert_double_eq(sw_humidity_pct(20.0, 25.0), 100.0);
    // Saturation by [allen-1998] table 2.3: 2.338 kPa at 20 degC, 1.228 at 10, 4.243 at 30 (from memory).
    ck_assert_double_eq_tol(sw_humidity_pct(20.0, 10.0), 100.0 * 1.228 / 2.338, 0.1);
    ck_assert_double_eq_tol(sw_humidity_pct(30.0, 20.0), 100.0 * 2.338 / 4.243, 0.1);
}
END_TEST

/* 300 m3/h of 1.2 kg/m3 carry 0.1 kg/s, 100.6 W/K; ten kelvin of that evaporate 1006 W/2.45 MJ/kg, 1.48 L/h.
   At 1500 m the air is thinner by exp(-1500/8434.5). */
START_TEST(a_cooler_pays_with_water)
{
    sw_cooler_air sea = sw_cooler_air_of(38.0, 15.0, 0.5, 300.0, 0.0),
                  high = sw_cooler_air_of(38.0, 15.0, 0.5, 300.0, 1500.0);
    double drop = 38.0 - sea.supply_c;
    ck_assert(drop > 8.0 && drop < 11.0); // common practice, no source
    ck_assert_double_eq_tol(sea.stream_w_k, 100.6, 1e-9);
    ck_assert_double_eq_tol(sea.water_l_h, 100.6 * drop / 2.45e6 * 3600.0, 1e-9);
    ck_assert_double_eq_tol(high.stream_w_k / sea.stream_w_k, exp(-1500.0 / 8434.5), 1e-12);
    ck_assert_double_eq_tol(sw_cooler_air_of(20.0, 100.0, 0.75, 300.0, 0.0).water_l_h, 0.0, 0.1);
}
END_TEST

// ---- whole trips ----

#define LIGHTS "\"lights\": {"

/* The small trip with a cabin of 50 W/K and another load, in cold or hot clear days. */
static rehearsed trip_in(const char *load, double low_c, double high_c, const char *place)
{
    char loads[500], sky[300], zone[100];
    snprintf(loads, sizeof loads, "%s, " LIGHTS, load);
    snprintf(
        sky, sizeof sky,
        "{\"kind\": \"told\", \"otherwise\": {\"morning\": \"clear\", \"afternoon\": \"clear\", \"low\": "
        "\"%g C\", \"high\": \"%g C\"}}",
        low_c, high_c);
    snprintf(zone, sizeof zone, "\"zone\": \"America/Denver\"%s", place);
    char *with_load = text_with(small_van, LIGHTS, loads);
    char *van = text_with(with_load, "\"loads\": {",
                          "\"cabin\": {\"loss\": \"50 W/K\", \"sun_area\": \"0.5 m2\"}, \"loads\": {");
    char *with_sky = text_with(small_trip, "{\"kind\": \"average\"}", sky);
    char *trip = text_with(with_sky, "\"zone\": \"America/Denver\"", zone);
    rehearsed out = rehearse_texts(van, trip, 300);
    free(with_load);
    free(van);
    free(with_sky);
    free(trip);
    return out;
}

static int load_named(const rehearsed *x, const char *name)
{
    int k = 0;
    while (strcmp(x->plan->van->load[k].name, name) != 0)
        k++;
    return k;
}

#define HEATER                                                                                               \
    "\"heater\": {\"kind\": \"heater\", \"bus\": \"dc\", \"power\": \"30 W\", \"heat\": \"2000 W\", "        \
    "\"keeps\": "                                                                                            \
    "\"18 C\", \"fuel\": \"0.25 L\", \"held\": \"must\"}"

/* A mean day has what leaks out less what sun, people and loads bring; the heater's power and fuel are in the
   proportion of its heat. */
START_TEST(a_heater_burns_what_leaks_out)
{
    rehearsed x = trip_in(HEATER, -8.0, 2.0, "");
    const sw_account *day = &x.r->day[1]; // 7 November, whole
    int k = load_named(&x, "heater");
    double loads_wh = 0.0, reference_wh = x.plan->van->load[load_named(&x, "fridge")].reference_wh;
    for (int i = 0; i < x.plan->van->loads; i++)
        loads_wh += x.plan->van->load[i].kind == SW_LOAD_FRIDGE ? reference_wh : day->asked_wh[i];
    double sun_wh = 0.5 * day->value[SW_LEDGER_SUN];
    double leaked_wh = 50.0 * (day->value[SW_LEDGER_CABIN] - day->value[SW_LEDGER_AIR]) * 24.0;
    double heat_wh = day->asked_wh[k] / 30.0 * 2000.0;
    // The heater's own 30 W are among the loads. What the cabin holds at midnight and midnight is alike.
    double off = leaked_wh - heat_wh - sun_wh - (loads_wh - day->asked_wh[k]);
    ck_assert_msg(fabs(off) < 0.01 * leaked_wh, "%.0f Wh leak, %.0f Wh heat, %.0f Wh sun, %.0f Wh loads",
                  leaked_wh, heat_wh, sun_wh, loads_wh);
    for (int h = 0; h < x.r->hours; h++) {
        int settled = h > 6; // it begins at 10 degC
        ck_assert(!settled || x.r->hour[h].value[SW_LEDGER_CABIN] > 17.99);
    }
    forget_rehearsed(&x);
}
END_TEST

/* 120 W for 10 minutes, 20 Wh, each time that it comes on: on two evenings. Its fuel is
   that of its heat alone. */
START_TEST(each_start_takes_its_energy_and_no_fuel)
{
    char *hours = text_with(HEATER, "\"held\"", "\"hours\": \"18:00-08:00\", \"held\""),
         *glowing =
             text_with(hours, "\"held\"", "\"start_power\": \"120 W\", \"start_time\": \"10 min\", \"held\"");
    rehearsed quiet = trip_in(hours, -8.0, 2.0, ""), glows = trip_in(glowing, -8.0, 2.0, "");
    int k = load_named(&quiet, "heater"), starts = 0;
    for (int h = 1; h < quiet.r->hours; h++)
        starts += quiet.r->hour[h].asked_wh[k] > 0.0 && quiet.r->hour[h - 1].asked_wh[k] == 0.0;
    ck_assert_int_eq(starts, 2);
    ck_assert_double_eq_tol(glows.r->trip.asked_wh[k] - quiet.r->trip.asked_wh[k], 20.0 * starts, 1e-9);
    ck_assert_double_gt(quiet.r->trip.value[SW_LEDGER_HEATER_FUEL], 1.0);
    ck_assert_double_eq_tol(quiet.r->trip.value[SW_LEDGER_HEATER_FUEL],
                            quiet.r->trip.asked_wh[k] / 30.0 * 0.25, 1e-9);
    ck_assert_double_eq(glows.r->trip.value[SW_LEDGER_HEATER_FUEL],
                        quiet.r->trip.value[SW_LEDGER_HEATER_FUEL]);
    forget_rehearsed(&quiet);
    forget_rehearsed(&glows);
    free(glowing);
    free(hours);
}
END_TEST

/* A fan brings the cabin near the air outside and no further, and stops at its mark; in a hot afternoon it
   would warm, and stays off. */
START_TEST(a_fan_cools_to_the_air_outside_at_best)
{
    const char *fan =
        "\"roof fan\": {\"kind\": \"fan\", \"bus\": \"dc\", \"power\": \"20 W\", \"airflow\": \"900 m3/h\", "
        "\"keeps\": \"20 C\", \"held\": \"must\"}";
    rehearsed aired = trip_in(fan, 10.0, 36.0, ""),
              still = trip_in("\"spare\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"0 W\"}", 10.0,
                              36.0, "");
    int k = load_named(&aired, "roof fan"), cooler = 0, idle = 0;
    for (int h = 0; h < aired.r->hours; h++) {
        const double *a = aired.r->hour[h].value, *b = still.r->hour[h].value;
        double runs = aired.r->hour[h].asked_wh[k] / 20.0;
        ck_assert(a[SW_LEDGER_CABIN] <= b[SW_LEDGER_CABIN] + 1e-9);
        cooler += b[SW_LEDGER_CABIN] - a[SW_LEDGER_CABIN] > 2.0;
        idle += runs == 0.0;
        // 900 m3/h carry 250 W/K at this height: what leaks in does not keep it 2 K over outside.
        if (runs > 0.99 && h > 0 && aired.r->hour[h - 1].asked_wh[k] / 20.0 > 0.99)
            ck_assert(a[SW_LEDGER_CABIN] < a[SW_LEDGER_AIR] + 4.0);
    }
    ck_assert_int_gt(cooler, 5);
    ck_assert_int_gt(idle, 5);
    forget_rehearsed(&aired);
    forget_rehearsed(&still);
}
END_TEST

START_TEST(warmer_asks_more_and_no_cold_asks_nothing)
{
    rehearsed cold = trip_in(HEATER, -8.0, 2.0, ""), mild = trip_in(HEATER, 0.0, 10.0, ""),
              hot = trip_in(HEATER, 24.0, 34.0, "");
    int k = load_named(&cold, "heater");
    ck_assert_double_gt(cold.r->trip.asked_wh[k], 1.3 * mild.r->trip.asked_wh[k]);
    ck_assert_double_eq(hot.r->trip.asked_wh[k], 0.0);
    forget_rehearsed(&cold);
    forget_rehearsed(&mild);
    forget_rehearsed(&hot);
}
END_TEST

#define COOLER                                                                                               \
    "\"cooler\": {\"kind\": \"evaporative\", \"bus\": \"dc\", \"power\": \"40 W\", \"airflow\": \"400 "      \
    "m3/h\", "                                                                                               \
    "\"keeps\": \"27 C\", \"when\": \"parked\"}"

START_TEST(a_cooler_cools_dry_air_and_drinks_and_moist_air_less)
{
    rehearsed dry = trip_in(COOLER, 20.0, 38.0, ", \"dew_point\": \"3 C\""),
              moist = trip_in(COOLER, 20.0, 38.0, ", \"dew_point\": \"18 C\""),
              none = trip_in("\"idle\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"0 W\"}", 20.0,
                             38.0, "");
    double hottest[3] = {0.0, 0.0, 0.0};
    const rehearsed *of[3] = {&dry, &moist, &none};
    for (int i = 0; i < 3; i++)
        for (int h = 4; h < of[i]->r->hours; h++)
            hottest[i] = fmax(hottest[i], of[i]->r->hour[h].value[SW_LEDGER_CABIN]);
    ck_assert_msg(hottest[0] < hottest[1] - 3.0 && hottest[1] < hottest[2] - 2.0, "%.1f, %.1f and %.1f C",
                  hottest[0], hottest[1], hottest[2]);
    ck_assert_double_gt(dry.r->trip.value[SW_LEDGER_EVAPORATED], 5.0);
    ck_assert_double_eq(none.r->trip.value[SW_LEDGER_EVAPORATED], 0.0);
    forget_rehearsed(&dry);
    forget_rehearsed(&moist);
    forget_rehearsed(&none);
}
END_TEST

#define AIRCON                                                                                               \
    "\"aircon\": {\"kind\": \"aircon\", \"bus\": \"%s\", \"power\": \"600 W\", \"heat\": \"1800 W\", "       \
    "\"keeps\": "                                                                                            \
    "\"25 C\"}"

/* On DC it may run at any hour; on AC only where there is some: the inverter is on from 6:30 to 9:00 and from
   17:00 to 22:00, and there is a hookup in town. */
START_TEST(an_air_conditioner_on_ac_waits_for_ac)
{
    char text[2][300];
    snprintf(text[0], sizeof text[0], AIRCON, "dc");
    snprintf(text[1], sizeof text[1], AIRCON, "ac");
    rehearsed dc = trip_in(text[0], 20.0, 38.0, ""), ac = trip_in(text[1], 20.0, 38.0, "");
    int k = load_named(&dc, "aircon"), at_noon = 0, asked = 0;
    const sw_forcing *f = &ac.r->course->forcing[0];
    for (int32_t i = 0; i < f->steps; i++) {
        int has_ac = (f->flags[i] & (SW_STEP_SHORE | SW_STEP_INVERTER)) != 0;
        asked += ac.r->course->asked_w[k][i] > 0.0;
        ck_assert(has_ac || ac.r->course->asked_w[k][i] == 0.0);
        at_noon += !has_ac && dc.r->course->asked_w[k][i] > 0.0;
    }
    ck_assert_int_gt(asked, 12);
    ck_assert_int_gt(at_noon, 24);
    forget_rehearsed(&dc);
    forget_rehearsed(&ac);
}
END_TEST

START_TEST(the_van_or_the_trip_decides_and_not_both)
{
    rehearsed x = trip_in(HEATER, -8.0, 2.0, "");
    ck_assert_ptr_null(assumption_at(x.plan, "trip /cabin_at_least"));
    ck_assert_ptr_null(assumption_at(x.plan, "trip /cabin_at_most"));
    ck_assert_ptr_null(assumption_at(x.plan, "van /cabin/loss")); // given
    ck_assert_ptr_nonnull(assumption_at(x.plan, "van /cabin/insulation"));
    forget_rehearsed(&x);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        left_alone_it_decays_as_the_exponential,
        it_follows_walls_draft_and_gains,
        thermostats_are_asked_for_what_ends_the_step_at_their_mark,
        a_draft_is_thinned_until_it_ends_the_step_at_its_mark,
        humidity_follows_the_dew_point,
        a_cooler_pays_with_water,
        a_heater_burns_what_leaks_out,
        each_start_takes_its_energy_and_no_fuel,
        a_fan_cools_to_the_air_outside_at_best,
        warmer_asks_more_and_no_cold_asks_nothing,
        a_cooler_cools_dry_air_and_drinks_and_moist_air_less,
        an_air_conditioner_on_ac_waits_for_ac,
        the_van_or_the_trip_decides_and_not_both,
        NULL,
    };
    return sw_suite_of("cabin", tests, 60);
}
