// Good trip files: places, legs, clocks, hookups, skies and monthly means land in their fields in SI.
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include "stillwatt/civil.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static int64_t local(int year, int month, int day, int hour, int minute)
{
    return sw_days_from_civil(year, month, day) * 86400 + hour * 3600 + minute * 60;
}

static sw_plan *small_with(const char *from, const char *to)
{
    char *trip = text_with(small_trip, from, to);
    sw_plan *plan = plan_of_trip(small_van, trip);
    free(trip);
    return plan;
}

START_TEST(places_land_in_their_fields)
{
    sw_plan *plan =
        small_with("\"elevation\": \"1500 m\"", "\"elevation\": \"5,000 ft\", \"turbidity\": 2.5");
    const sw_place *town = &plan->trip->place[0], *mesa = &plan->trip->place[1];
    ck_assert_int_eq(plan->trip->places, 2);
    ck_assert_str_eq(plan->trip->name, "Two nights");
    ck_assert_str_eq(plan->trip->file, "trip.json");
    ck_assert_str_eq(town->name, "town");
    ck_assert_str_eq(town->station, "Grand Junction CO");
    ck_assert(isnan(town->lat_deg) && isnan(town->lon_deg) && isnan(town->elevation_m));
    ck_assert_double_eq(town->turbidity, 3);
    ck_assert_ptr_null(mesa->station);
    ck_assert_double_eq(mesa->lat_deg, 38.5);
    ck_assert_double_eq(mesa->lon_deg, -109.6);
    ck_assert_double_eq_tol(mesa->elevation_m, 1524, 1e-9); // 0.3048 m a foot, exact
    ck_assert_str_eq(mesa->zone, "America/Denver");
    ck_assert_double_eq(mesa->turbidity, 2.5);
    ck_assert_ptr_null(mesa->normals);
    ck_assert_int_eq(mesa->where.line, 7);
    ck_assert_str_eq(mesa->where.path, "/places/mesa");
    sw_plan_free(plan);
}
END_TEST

START_TEST(legs_land_in_their_fields)
{
    sw_plan *plan = small_with("{\"stay\": \"mesa\"", "{\"heading\": \"200 deg\", \"stay\": \"mesa\"");
    const sw_leg *leg = plan->trip->leg;
    ck_assert_int_eq(plan->trip->legs, 3);
    ck_assert_int_eq(leg[0].kind, SW_LEG_STAY);
    ck_assert_int_eq(leg[0].place, 0);
    ck_assert_int_eq(leg[0].to_place, 0);
    ck_assert(leg[0].from_local_s == local(2026, 11, 6, 12, 0));
    ck_assert(leg[0].to_local_s == local(2026, 11, 6, 13, 0));
    ck_assert_double_eq(leg[0].heading_deg, 0);
    ck_assert_int_eq(leg[1].kind, SW_LEG_DRIVE);
    ck_assert_int_eq(leg[1].place, 0);
    ck_assert_int_eq(leg[1].to_place, 1);
    ck_assert(leg[1].from_local_s == SW_NO_TIME);
    ck_assert_double_eq(leg[1].distance_m, 180000);
    ck_assert_double_eq(leg[1].idle_share, 0.15);
    ck_assert(isnan(leg[2].distance_m) && isnan(leg[2].shore_a));
    ck_assert_double_eq(leg[2].heading_deg, 200);
    ck_assert_str_eq(leg[2].where.path, "/legs/2");
    sw_plan_free(plan);
}
END_TEST

/* 80 % where the supply has up to 150 V, all of it above, unless the file says. */
START_TEST(a_hookup_gives_its_steady_share_by_its_voltage)
{
    static const struct {
        const char *hookup;
        double amperes, volts, steady;
        int assumed, hot_legs;
    } hookups[] = {
        {"{\"current\": \"30 A\", \"voltage\": \"120 V\"}", 30, 120, 0.8, 1, 1},
        {"{\"current\": \"16 A\", \"voltage\": \"0.23 kV\"}", 16, 230, 1.0, 1, 1},
        {"{\"current\": \"16 A\", \"voltage\": \"230 V\", \"steady\": \"90 %\"}", 16, 230, 0.9, 0, 1},
        {"{\"current\": \"50 A\", \"voltage\": \"120 V\", \"hot_legs\": 2}", 50, 120, 0.8, 1, 2},
    };
    for (size_t i = 0; i < sizeof hookups / sizeof hookups[0]; i++) {
        sw_plan *plan = small_with("{\"current\": \"30 A\", \"voltage\": \"120 V\"}", hookups[i].hookup);
        const sw_leg *leg = plan->trip->leg;
        ck_assert_double_eq_tol(leg->shore_a, hookups[i].amperes, 1e-12);
        ck_assert_double_eq_tol(leg->shore_v, hookups[i].volts, 1e-12);
        ck_assert_double_eq_tol(leg->shore_steady, hookups[i].steady, 1e-15);
        ck_assert_int_eq(leg->shore_legs, hookups[i].hot_legs);
        ck_assert_int_eq(assumption_at(plan, "trip /legs/0/hookup/steady") != NULL, hookups[i].assumed);
        sw_plan_free(plan);
    }
}
END_TEST

START_TEST(the_reserve_follows_the_chemistry_unless_given)
{
    char *agm = text_with(small_van, "lifepo4", "agm");
    sw_plan *lithium = plan_of_trip(small_van, small_trip), *lead = plan_of_trip(agm, small_trip);
    sw_plan *given = small_with("\"sky\"", "\"reserve\": \"35 %\", \"start_charge\": \"80 %\", \"sky\"");
    ck_assert_double_eq(lithium->trip->reserve, 0.2);
    ck_assert_ptr_nonnull(assumption_at(lithium, "trip /reserve"));
    ck_assert_double_eq(lead->trip->reserve, 0.5);
    ck_assert_double_eq_tol(given->trip->reserve, 0.35, 1e-15);
    ck_assert_double_eq_tol(given->trip->start_soc, 0.80, 1e-15);
    ck_assert_ptr_null(assumption_at(given, "trip /reserve"));
    sw_plan_free(lithium);
    sw_plan_free(lead);
    sw_plan_free(given);
    free(agm);
}
END_TEST

START_TEST(a_told_sky_has_words_oktas_halves_and_temperatures)
{
    sw_plan *plan = small_with(
        "{\"kind\": \"average\"}",
        "{\"kind\": \"told\", \"otherwise\": \"few\", \"haze\": \"20 %\", \"days\": {\"2026-11-07\": 7, "
        "\"2026-11-08\": {\"morning\": \"overcast\", \"afternoon\": \"scattered\", \"low\": \"23 F\"}}}");
    const sw_sky_spec *sky = &plan->trip->sky;
    ck_assert_int_eq(sky->kind, SW_SKY_TOLD);
    ck_assert_double_eq_tol(sky->haze, 0.2, 1e-15);
    ck_assert_int_eq(sky->told_days, 3);
    ck_assert(sky->told[0].day == INT64_MIN);
    ck_assert_double_eq(sky->told[0].morning_okta, 1.5);
    ck_assert_double_eq(sky->told[0].afternoon_okta, 1.5);
    ck_assert(sky->told[1].day == sw_days_from_civil(2026, 11, 7));
    ck_assert_double_eq(sky->told[1].morning_okta, 7);
    ck_assert(sky->told[2].day == sw_days_from_civil(2026, 11, 8));
    ck_assert_double_eq(sky->told[2].morning_okta, 8);
    ck_assert_double_eq(sky->told[2].afternoon_okta, 3.5);
    ck_assert_double_eq_tol(sky->told[2].low_c, -5, 1e-12);
    ck_assert(isnan(sky->told[2].high_c) && isnan(sky->told[1].low_c));
    sw_plan_free(plan);
}
END_TEST

START_TEST(an_hourly_sky_keeps_the_place_of_its_file_name)
{
    sw_plan *plan = small_with("{\"kind\": \"average\"}", "{\"kind\": \"hourly\", \"file\": \"denver.epw\"}");
    ck_assert_int_eq(plan->trip->sky.kind, SW_SKY_HOURLY);
    ck_assert_str_eq(plan->trip->sky.file, "denver.epw");
    ck_assert_int_eq(plan->trip->sky.where.line, 20);
    ck_assert_str_eq(plan->trip->sky.where.path, "/sky/file");
    sw_plan_free(plan);
}
END_TEST

START_TEST(own_monthly_means_are_read_in_order)
{
    char *trip =
        trip_of_legs("{\"stay\": \"denver\", \"from\": \"2026-06-01 00:00\", \"to\": \"2026-06-02 00:00\"}");
    char *january = text_with(
        trip,
        "\"st johns\": {\"latitude\": 47.56, \"longitude\": -52.71, \"elevation\": \"60 m\", \"zone\": "
        "\"America/St_Johns\", \"normals\": {\"daily_sun\": [\"2 kWh/m2\"",
        "\"st johns\": {\"latitude\": 47.56, \"longitude\": -52.71, \"elevation\": \"60 m\", \"zone\": "
        "\"America/St_Johns\", \"normals\": {\"spread\": \"10 %\", \"daily_sun\": [\"3.6 MJ/m2\"");
    sw_plan *plan = plan_of_trip(small_van, january);
    const sw_normals *normals = plan->trip->place[4].normals;
    ck_assert_double_eq_tol(normals->daily_sun_kwh_m2[0], 1, 1e-12); // 3.6 MJ a kilowatt-hour
    ck_assert_double_eq(normals->daily_sun_kwh_m2[11], 2);
    ck_assert_double_eq(normals->low_c[5], 0);
    ck_assert_double_eq(normals->high_c[11], 10);
    ck_assert_double_eq_tol(normals->spread, 0.1, 1e-15);
    ck_assert_ptr_null(assumption_at(plan, "trip /places/st johns/normals/spread"));
    ck_assert_ptr_nonnull(assumption_at(plan, "trip /places/denver/normals/spread"));
    sw_plan_free(plan);
    free(january);
    free(trip);
}
END_TEST

START_TEST(a_trips_assumptions_stand_beside_the_vans)
{
    static const char *const paths[] = {"trip /start_charge",       "trip /cabin_at_least",
                                        "trip /cabin_at_most",      "trip /places/town/turbidity",
                                        "trip /places/town/albedo", "trip /places/mesa/turbidity",
                                        "trip /places/mesa/albedo", "trip /legs/0/hookup/steady",
                                        "trip /legs/1/idling",      "trip /reserve"};
    const int count = sizeof paths / sizeof paths[0];
    sw_plan *plan = plan_of_trip(small_van, small_trip), *van = plan_of_van(small_van);
    ck_assert_int_eq(plan->assumptions, van->assumptions + count);
    for (int i = 0; i < count; i++)
        ck_assert_msg(assumption_at(plan, paths[i]) != NULL, "%s", paths[i]);
    // A bare number has no unit.
    ck_assert_str_eq(assumption_at(plan, "trip /places/mesa/turbidity")->value, "3");
    ck_assert_int_eq(assumption_at(plan, "trip /places/mesa/turbidity")->dimension, SW_DIM_NONE);
    ck_assert_str_eq(assumption_at(plan, "trip /cabin_at_least")->value, "16 C");
    sw_plan_free(plan);
    sw_plan_free(van);
    plan = small_with("\"sky\": {\"kind\": \"average\"},", "");
    ck_assert_int_eq(plan->trip->sky.kind, SW_SKY_AVERAGE);
    ck_assert_ptr_nonnull(assumption_at(plan, "trip /sky"));
    sw_plan_free(plan);
}
END_TEST

START_TEST(all_errors_of_a_trip_and_its_van_are_told_in_one_go)
{
    static const char trip[] =
        "{\"format\": \"stillwatt trip 1\", \"van\": \"van.json\", \"reserve\": 20, \"places\": {\"mesa\": "
        "{\"station\": \"Moab\", \"albido\": \"20 %\"}}, \"legs\": [{\"stay\": \"mesa\", \"from\": "
        "\"2026-02-30 "
        "10:00\", \"to\": \"2026-03-01 10:00\"}, {\"stay\": \"mese\", \"to\": \"2026-03-02\"}], \"sky\": "
        "{\"kind\": \"grey\"}}";
    static const char *const told[] = {"trip.json:1:1: /: ",      ": /reserve: ",
                                       ": /places/mesa/albido: ", ": /legs/0/from: ",
                                       ": /legs/1/to: ",          ": /legs/1/stay: ",
                                       ": /sky/kind: ",           "van.json:7:17: /battery/capacity: "};
    char *van = text_with(small_van, "100 Ah", "100 Wh");
    memory_file file[] = {{"van.json", van}, {"trip.json", trip}, {NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    ck_assert_int_eq(sw_read_trip(&loader, "trip.json", messages, &plan), SW_BAD_INPUT);
    ck_assert_ptr_null(plan);
    if (sw_messages_errors(messages) != sizeof told / sizeof told[0])
        print_messages(messages);
    ck_assert_uint_eq(sw_messages_errors(messages), sizeof told / sizeof told[0]);
    for (size_t i = 0; i < sizeof told / sizeof told[0]; i++) {
        char text[1000];
        sw_message_format(sw_messages_at(messages, i), text, sizeof text);
        ck_assert_msg(strstr(text, told[i]) != NULL, "%s", text);
    }
    sw_messages_free(messages);
    free(van);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {places_land_in_their_fields,
                                  legs_land_in_their_fields,
                                  a_hookup_gives_its_steady_share_by_its_voltage,
                                  the_reserve_follows_the_chemistry_unless_given,
                                  a_told_sky_has_words_oktas_halves_and_temperatures,
                                  an_hourly_sky_keeps_the_place_of_its_file_name,
                                  own_monthly_means_are_read_in_order,
                                  a_trips_assumptions_stand_beside_the_vans,
                                  all_errors_of_a_trip_and_its_van_are_told_in_one_go,
                                  NULL};
    return sw_suite_of("trip files", tests, 20);
}
