// Good van files: each key lands in its field in SI, layers patch each other, and what nobody gave is listed.
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/small_plan.h"

#include "files/keys.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Every key with a value of its own, in SI and in US customary units that are equal by definition: the
   international foot 0.3048 m, the avoirdupois pound 0.45359237 kg, 9/5 F a kelvin. */
#define VAN_OF(hot, mass_a, mass_b, area, cold_stop, cold_full, gamma, cabin, reference, tank, fuel)         \
    "{\"format\": \"stillwatt van 1\", \"name\": \"Twin\","                                                  \
    "\"vehicle\": {\"payload\": \"" mass_a "\", \"front_axle_spare\": \"" mass_b                             \
    "\", \"rear_axle_spare\": \"" mass_a "\", \"free_roof\": \"" area "\", \"idle_fuel\": \"" fuel "\"},"    \
    "\"battery\": {\"chemistry\": \"agm\", \"unit_voltage\": \"24 V\", \"capacity\": \"105 Ah\", "           \
    "\"series\": "                                                                                           \
    "2, \"parallel\": 3, \"health\": \"90 %\", \"resistance\": \"8 mohm\", \"charge_limit\": \"25 A\","      \
    "\"discharge_limit\": \"200 A\", \"absorption\": \"28.8 V\", \"cut_out\": \"21 V\", \"restart\": "       \
    "\"24.5 "                                                                                                \
    "V\", \"cold_stop\": \"" cold_stop "\", \"cold_full\": \"" cold_full "\", \"hot_full\": \"" reference    \
    "\", \"hot_stop\": \"" hot "\", \"discharge_stop\": \"" cold_stop                                        \
    "\", \"cold_loss\": \"70 %\", \"heater\": \"0.06 kW\", \"heater_set_point\": \"" cold_full               \
    "\", \"heater_from\": \"charger\", \"management_draw\": \"500 mW\", \"temperature_lag\": \"1 h 30 "      \
    "min\", \"place\": \"outside\", \"comes_back\": \"by-hand\","                                            \
    "\"price\": \"1,250.50 CAD\", \"labour\": \"90 min\", \"mass\": \"" mass_b "\", \"seat\": \"under\"},"   \
    "\"arrays\": {\"roof\": {\"rating\": \"0.2 kW\", \"panels\": 2, \"area\": \"" area                       \
    "\", \"tilt\": \"30 deg\", \"facing\": \"180 deg\", \"fixed_to\": \"compass\", \"deployed\": "           \
    "\"parked\", \"mounting\": \"bonded\", \"temperature_coefficient\": \"" gamma                            \
    "\", \"hours\": \"08:30-17:00\", \"series\": 2, \"open_circuit\": \"22.5 V\", \"working_voltage\": "     \
    "\"18600 "                                                                                               \
    "mV\", \"voltage_coefficient\": \"-0.3 %/K\", \"soiling\": \"5 %\", \"soiling_per_day\": \"0.1 %\", "    \
    "\"wiring\": \"2 %\", \"mismatch\": "                                                                    \
    "\"1 %\", \"ageing\": \"6 %\", "                                                                         \
    "\"roof_shade\": \"7 %\"}},"                                                                             \
    "\"controller\": {\"kind\": \"pwm\", \"efficiency\": \"97 %\", \"limit\": \"40 A\", \"own_draw\": \"2 "  \
    "W\", "                                                                                                  \
    "\"input_limit\": \"150 V\", \"starts_over\": \"4 V\"},"                                                 \
    "\"alternator\": {\"kind\": \"smart\", \"at_idle\": \"stops\", \"cable\": \"7 mohm\", "                  \
    "\"spare_cruise\": \"70 A\", \"spare_idle\": \"20 A\", \"voltage\": \"14 V\", "                          \
    "\"cold_spare_cruise\": \"90 A\", \"cold_spare_idle\": \"45 A\", \"warms_in\": \"15 min\", "             \
    "\"converter_output\": \"720 W\", \"converter_efficiency\": \"88 %\"},"                                  \
    "\"shore\": {\"inlet_current\": \"15 A\", \"inlet_voltage\": \"120 V\", \"hot_legs\": 2, "               \
    "\"charger_output\": \"0.6 kW\","                                                                        \
    "\"charger_efficiency\": \"90 %\", \"charger_power_factor\": \"80 %\"},"                                 \
    "\"generator\": {\"rating\": \"1.2 kW\", \"idle_fuel\": \"" fuel "\", \"fuel_per_kwh\": \"" fuel "\"},"  \
    "\"starter\": {\"capacity\": \"95 Ah\", \"charge\": \"80 %\", \"drain\": \"600 mW\", \"needs\": \"45 "   \
    "%\", \"kept_by\": \"fan\"},"                                                                            \
    "\"tanks\": {\"fresh\": {\"capacity\": \"" tank                                                          \
    "\", \"start\": \"80 %\"}, \"toilet\": {\"capacity\": \"" tank "\"}},"                                   \
    "\"inverter\": {\"rating\": \"3 kW\", \"idle\": \"20 W\", \"peak_efficiency\": \"94 %\", "               \
    "\"full_efficiency\": \"88 %\", \"cut_out\": \"43 V\", \"restart\": \"50 V\", \"hours\": "               \
    "\"22:00-06:30\"},"                                                                                      \
    "\"loads\": {"                                                                                           \
    "\"fan\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"22 W\", \"held\": \"must\", \"count\": "  \
    "2, \"duty\": \"40 %\", \"hours\": [\"05:00-07:15\", \"20:00-24:00\"], \"days\": [\"sat\", \"sun\"],"    \
    "\"when\": [\"parked\", \"dark\"], \"outside_below\": \"" cabin "\", \"cabin_below\": \"" cabin "\"},"   \
    "\"kettle\": {\"kind\": \"use\", \"bus\": \"ac\", \"power\": \"1.2 kW\", \"held\": \"can-wait\", "       \
    "\"uses\": 1.5, \"each\": \"4 min\", \"at\": [\"07:10\", \"16:00\"], \"water\": \"" fuel                 \
    "\", \"drains_to\": \"nowhere\"},"                                                                       \
    "\"radio\": {\"kind\": \"measured\", \"bus\": \"dc\", \"energy_per_day\": \"0.18 kWh\"},"                \
    "\"pump\": {\"kind\": \"measured\", \"bus\": \"dc\", \"charge_per_day\": \"1500 mAh\"},"                 \
    "\"fridge\": {\"kind\": \"fridge\", \"bus\": \"dc\", \"power\": \"45 W\", \"set_point\": \"" cold_full   \
    "\", \"reference\": \"" reference "\", \"reference_energy\": \"0.6 kWh\"}},"                             \
    "\"hold_back_below\": \"25 %\"}"

static const char si_van[] = VAN_OF("50 C", "45.359237 kg", "453.59237 kg", "0.9290304 m2", "-5 C", "5 C",
                                    "-0.36 %/K", "15 C", "35 C", "75.70823568 L", "1.892705892 L");
static const char us_van[] = VAN_OF("122 F", "100 lb", "1,000 lb", "10 ft2", "23 F", "41 F", "-0.2 %/F",
                                    "59 F", "95 F", "20 gal", "0.5 gal");

/* Fields of a struct, by the offsets of its keys. A unit's factor may round twice: 4 steps of a double. */
static void check_same(const sw_table *table, const void *a, const void *b)
{
    for (size_t i = 0; i < table->count; i++) {
        const sw_key *key = &table->keys[i];
        const char *x = (const char *)a + key->offset, *y = (const char *)b + key->offset;
        double p, q;
        switch (key->kind) {
        case SW_KEY_QUANTITY:
        case SW_KEY_NUMBER:
            memcpy(&p, x, sizeof p);
            memcpy(&q, y, sizeof q);
            ck_assert_msg(isnan(p) ? isnan(q) : fabs(p - q) <= 4 * 2.3e-16 * fabs(p), "%s: %.17g, %.17g",
                          key->name, p, q);
            break;
        case SW_KEY_COUNT:
        case SW_KEY_CHOICE:
        case SW_KEY_CHOICES:
            ck_assert_msg(memcmp(x, y, sizeof(int)) == 0, "%s", key->name);
            break;
        default:
            break;
        }
    }
}

START_TEST(twins_in_si_and_us_units_give_equal_plans)
{
    sw_plan *si = plan_of_van(si_van), *us = plan_of_van(us_van);
    const sw_van *a = si->van, *b = us->van;
    check_same(&sw_van_table, a, b);
    check_same(&sw_vehicle_table, &a->vehicle, &b->vehicle);
    check_same(&sw_battery_table, &a->battery, &b->battery);
    check_same(&sw_array_table, a->array, b->array);
    check_same(&sw_controller_table, a->controller, b->controller);
    check_same(&sw_alternator_table, a->alternator, b->alternator);
    check_same(&sw_shore_table, a->shore, b->shore);
    check_same(&sw_generator_table, a->generator, b->generator);
    check_same(&sw_starter_table, a->starter, b->starter);
    check_same(&sw_inverter_table, a->inverter, b->inverter);
    for (int k = 0; k < SW_TANKS; k++)
        check_same(&sw_tank_table, &a->tank[k], &b->tank[k]);
    for (int i = 0; i < a->loads; i++)
        check_same(&sw_load_table, &a->load[i], &b->load[i]);
    sw_plan_free(si);
    sw_plan_free(us);
}
END_TEST

/* A decimal figure and a unit's factor round a few times; 1e-12 is far below any digit that is written. */
#define CLOSE(a, b) ck_assert_double_eq_tol(a, b, 1e-12 * (1 + fabs((double)(b))))

START_TEST(each_key_of_the_battery_lands_in_its_field)
{
    sw_plan *plan = plan_of_van(us_van);
    const sw_battery_spec *b = &plan->van->battery;
    ck_assert_int_eq(b->chemistry, SW_AGM);
    ck_assert_int_eq(b->series, 2);
    ck_assert_int_eq(b->parallel, 3);
    ck_assert_int_eq(b->place, 1);
    ck_assert_int_eq(b->cost.seat, SW_SEAT_UNDER);
    const double is[] = {b->unit_v,         b->capacity_ah,       b->health,           b->resistance_ohm,
                         b->charge_limit_a, b->discharge_limit_a, b->absorption_v,     b->cut_out_v,
                         b->restart_v,      b->cold_stop_c,       b->cold_full_c,      b->management_w,
                         b->lag_s,          b->cost.price,        b->cost.labour_s,    b->cost.mass_kg,
                         b->hot_full_c,     b->hot_stop_c,        b->discharge_stop_c, b->heater_w,
                         b->heater_set_c,   b->heater_from,       b->comes_back,       b->cold_loss};
    const double wanted[] = {24,
                             105,
                             0.90,
                             0.008,
                             25,
                             200,
                             28.8,
                             21,
                             24.5,
                             -5,
                             5,
                             0.5,
                             5400,
                             1250.5,
                             5400,
                             453.59237,
                             35,
                             50,
                             -5,
                             60,
                             5,
                             1,
                             SW_BACK_BY_HAND,
                             0.7};
    for (size_t i = 0; i < sizeof is / sizeof is[0]; i++)
        CLOSE(is[i], wanted[i]);
    ck_assert_str_eq(plan->van->currency, "CAD");
    sw_plan_free(plan);
}
END_TEST

START_TEST(each_key_of_the_sources_lands_in_its_field)
{
    sw_plan *plan = plan_of_van(us_van);
    const sw_van *v = plan->van;
    const sw_array_spec *a = &v->array[0];
    ck_assert_int_eq(v->arrays, 1);
    ck_assert_str_eq(a->name, "roof");
    ck_assert_int_eq(a->panels, 2);
    ck_assert_int_eq(a->fixed_to, SW_FIXED_COMPASS);
    ck_assert_int_eq(a->deployed, SW_DEPLOYED_PARKED);
    ck_assert_int_eq(a->mounting, SW_MOUNT_BONDED);
    const double is[] = {a->rated_w,
                         a->area_m2,
                         a->tilt_deg,
                         a->facing_deg,
                         a->gamma_per_k,
                         a->soiling,
                         a->soiling_per_day,
                         a->wiring,
                         a->mismatch,
                         a->ageing,
                         a->roof_shade,
                         v->controller->efficiency,
                         v->controller->limit_a,
                         v->controller->self_w,
                         v->alternator->spare_cruise_a,
                         v->alternator->spare_idle_a,
                         v->alternator->cold_cruise_a,
                         v->alternator->cold_idle_a,
                         v->alternator->warms_s,
                         v->alternator->alternator_v,
                         v->alternator->converter_w,
                         v->alternator->converter_efficiency,
                         v->alternator->path,
                         v->alternator->is_smart,
                         v->alternator->stops,
                         v->alternator->cable_ohm,
                         v->controller->kind,
                         v->shore->inlet_a,
                         v->shore->inlet_v,
                         v->shore->charger_w,
                         v->shore->charger_efficiency,
                         v->shore->charger_power_factor,
                         v->inverter->rated_w,
                         v->inverter->idle_w,
                         v->inverter->peak_efficiency,
                         v->inverter->full_efficiency,
                         v->inverter->cut_out_v,
                         v->inverter->restart_v,
                         v->vehicle.payload_kg,
                         v->vehicle.front_axle_spare_kg,
                         v->vehicle.rear_axle_spare_kg,
                         v->vehicle.free_roof_m2,
                         v->hold_back_below};
    const double wanted[] = {200,  0.9290304, 30,        180,       -0.0036,   0.05,      0.001, 0.02,  0.01,
                             0.06, 0.07,      0.97,      40,        2,         70,        20,    90,    45,
                             900,  14,        720,       0.88,      0,         1,         1,     0.007, 1,
                             15,   120,       600,       0.90,      0.80,      3000,      20,    0.94,  0.88,
                             43,   50,        45.359237, 453.59237, 45.359237, 0.9290304, 0.25};
    for (size_t i = 0; i < sizeof is / sizeof is[0]; i++)
        CLOSE(is[i], wanted[i]);
    ck_assert_int_eq(v->shore->hot_legs, 2);
    CLOSE(v->starter->capacity_ah, 95);
    CLOSE(v->starter->charge, 0.8);
    CLOSE(v->starter->drain_w, 0.6);
    CLOSE(v->starter->needs, 0.45);
    ck_assert_int_eq(v->starter->kept_by, 0);
    ck_assert_int_eq(v->inverter->hours->count, 1);
    ck_assert_int_eq(v->inverter->hours->from_min[0], 22 * 60);
    ck_assert_int_eq(v->inverter->hours->to_min[0], 24 * 60 + 6 * 60 + 30);
    sw_plan_free(plan);
}
END_TEST

START_TEST(each_key_of_what_holds_and_burns_fuel_lands_in_its_field)
{
    sw_plan *plan = plan_of_van(us_van);
    const sw_van *v = plan->van;
    const double half_gallon = 1.892705892;
    CLOSE(v->vehicle.idle_fuel_l, half_gallon);
    CLOSE(v->generator->rated_w, 1200);
    CLOSE(v->generator->idle_fuel_l, half_gallon);
    CLOSE(v->generator->fuel_l_per_kwh, half_gallon);
    CLOSE(v->tank[SW_TANK_FRESH].capacity_l, 40 * half_gallon);
    CLOSE(v->tank[SW_TANK_FRESH].start, 0.8);
    CLOSE(v->tank[SW_TANK_TOILET].capacity_l, 40 * half_gallon);
    CLOSE(v->tank[SW_TANK_TOILET].start, 0); // what collects begins empty
    ck_assert_double_nan(v->tank[SW_TANK_GREY].capacity_l);
    CLOSE(v->load[1].water_l, half_gallon);
    ck_assert_int_eq(v->load[1].drain, SW_TANKS);
    ck_assert_int_eq(v->load[0].drain, SW_TANK_GREY);
    ck_assert_double_nan(v->load[0].water_l);
    sw_plan_free(plan);
}
END_TEST

START_TEST(each_key_of_the_loads_lands_in_its_field)
{
    sw_plan *plan = plan_of_van(us_van);
    ck_assert_int_eq(plan->van->loads, 5);
    const sw_load_spec *fan = &plan->van->load[0], *kettle = fan + 1, *radio = fan + 2, *pump = fan + 3;
    const sw_load_spec *fridge = fan + 4;
    ck_assert_int_eq(fan->kind, SW_LOAD_STEADY);
    ck_assert_int_eq(fan->held, SW_MUST);
    ck_assert_int_eq(fan->count, 2);
    ck_assert_int_eq(fan->hours->count, 2);
    ck_assert_int_eq(fan->hours->to_min[0], 7 * 60 + 15);
    ck_assert_int_eq(fan->hours->to_min[1], 1440);
    ck_assert_uint_eq(fan->weekdays, 1u << 0 | 1u << 6);
    ck_assert_uint_eq(fan->when, SW_WHEN_PARKED | SW_WHEN_DARK);
    CLOSE(fan->duty, 0.4);
    CLOSE(fan->outside_below_c, 15);
    CLOSE(fan->cabin_below_c, 15);
    ck_assert(isnan(fan->outside_above_c) && isnan(fan->cabin_above_c));
    ck_assert_int_eq(kettle->bus, SW_BUS_AC);
    ck_assert_int_eq(kettle->held, SW_CAN_WAIT);
    ck_assert_double_eq(kettle->uses, 1.5);
    CLOSE(kettle->power_w, 1200);
    CLOSE(kettle->each_s, 240);
    ck_assert_int_eq(kettle->at->count, 2);
    ck_assert_int_eq(kettle->at->at_min[1], 16 * 60);
    ck_assert_int_eq(radio->held, SW_WANT);
    CLOSE(radio->per_day_wh, 180);
    ck_assert(isnan(radio->per_day_ah));
    CLOSE(pump->per_day_ah, 1.5);
    ck_assert_int_eq(fridge->kind, SW_LOAD_FRIDGE);
    CLOSE(fridge->set_c, 5);
    CLOSE(fridge->reference_c, 35);
    CLOSE(fridge->reference_wh, 600);
    sw_plan_free(plan);
}
END_TEST

START_TEST(a_van_that_says_all_leaves_nothing_assumed)
{
    sw_plan *plan = plan_of_van(us_van);
    ck_assert_int_eq(plan->assumptions, 0);
    sw_plan_free(plan);
}
END_TEST

/* ---- layers ---- */

static const char part_of_kettle[] =
    "{\"format\": \"stillwatt part 1\", \"name\": \"Kettle\", \"kind\": \"load\", \"is\": {\"kind\": "
    "\"use\", "
    "\"bus\": \"ac\", \"power\": \"900 W\", \"each\": \"5 min\", \"uses\": 4, \"held\": \"must\"}}";
static const char layered_van[] =
    "{\"format\": \"stillwatt van 1\", \"name\": \"Layers\", \"battery\": {\"part\": \"unit\", \"capacity\": "
    "\"200 Ah\"}, \"loads\": {\"kettle\": {\"part\": \"kettle\", \"uses\": 3, \"each\": \"6 min\"}}}";
static const char part_of_battery[] =
    "{\"format\": \"stillwatt part 1\", \"name\": \"Unit\", \"kind\": \"battery\", \"is\": {\"chemistry\": "
    "\"agm\", \"capacity\": \"100 Ah\", \"health\": \"80 %\"}}";

START_TEST(a_habit_outdoes_the_van_the_van_its_part_and_the_part_the_default)
{
    char *trip = text_with(small_trip, "\"uses\": 1", "\"uses\": 2");
    memory_file file[] = {{"van.json", layered_van},
                          {"trip.json", trip},
                          {"unit", part_of_battery},
                          {"kettle", part_of_kettle},
                          {NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    ck_assert_int_eq(sw_read_trip(&loader, "trip.json", messages, &plan), SW_OK);
    sw_messages_free(messages);
    const sw_battery_spec *b = &plan->van->battery;
    const sw_load_spec *kettle = &plan->van->load[0];
    ck_assert_double_eq(kettle->uses, 2);      // habit
    ck_assert_double_eq(kettle->each_s, 360);  // van
    ck_assert_double_eq(kettle->power_w, 900); // part
    ck_assert_int_eq(kettle->held, SW_MUST);   // part
    ck_assert_int_eq(kettle->count, 1);        // default
    ck_assert_double_eq(b->capacity_ah, 200);
    CLOSE(b->health, 0.8);
    ck_assert_ptr_null(assumption_at(plan, "van /battery/health"));
    ck_assert_double_eq(b->lag_s, 21600);
    ck_assert_ptr_nonnull(assumption_at(plan, "van /battery/temperature_lag"));
    sw_plan_free(plan);
    free(trip);
}
END_TEST

static sw_load_spec load_with_habit(const char *name, const char *habit)
{
    char *trip = text_with(small_trip, "\"kettle\": {\"uses\": 1}", habit);
    sw_plan *plan = plan_of_trip(small_van, trip);
    sw_load_spec out = {0};
    for (int i = 0; i < plan->van->loads; i++)
        if (strcmp(plan->van->load[i].name, name) == 0)
            out = plan->van->load[i];
    out.name = NULL;
    if (out.at != NULL)
        ck_assert_int_ge(out.at->count, (int)out.uses);
    out.at = NULL;
    sw_plan_free(plan);
    free(trip);
    return out;
}

START_TEST(of_two_ways_to_say_the_same_the_habit_counts)
{
    ck_assert_double_eq(load_with_habit("kettle", "\"kettle\": {\"at\": \"08:00\"}").uses, 1);
    ck_assert_double_eq(load_with_habit("kettle", "\"kettle\": {\"held\": \"want\"}").uses, 2);
    sw_load_spec fan = load_with_habit("fan", "\"fan\": {\"energy_per_day\": \"99 Wh\"}");
    ck_assert_double_eq(fan.per_day_wh, 99);
    ck_assert(isnan(fan.per_day_ah));
}
END_TEST

/* ---- defaults that follow from others ---- */

START_TEST(a_batterys_unsaid_figures_follow_from_chemistry_and_size)
{
    char *van = text_with(small_van, "\"unit_voltage\": \"12 V\"", "\"unit_voltage\": \"24 V\"");
    char *agm = text_with(van, "lifepo4", "agm");
    sw_plan *plan = plan_of_van(agm);
    const sw_battery_spec *b = &plan->van->battery;
    // Two 12 V batteries' worth of cells in one case, 100 Ah: from src/core/battery.c's per-12 V figures.
    CLOSE(b->resistance_ohm, 2 * 0.012);
    CLOSE(b->charge_limit_a, 25);
    CLOSE(b->discharge_limit_a, 100);
    CLOSE(b->absorption_v, 28.8);
    CLOSE(b->cut_out_v, 21);
    CLOSE(b->cold_stop_c, -20);
    CLOSE(b->cold_full_c, -10);
    CLOSE(b->restart_v, 24);
    ck_assert_double_eq(b->management_w, 0.0); // lead has none, and none is assumed
    ck_assert_ptr_null(assumption_at(plan, "van /battery/management_draw"));
    ck_assert(b->cut_out_v < b->restart_v && b->restart_v < b->absorption_v);
    const sw_assumption *a = assumption_at(plan, "van /battery/resistance");
    ck_assert_ptr_eq(a->at, &b->resistance_ohm);
    ck_assert_str_eq(a->value, "24 mohm");
    ck_assert_int_eq(a->dimension, SW_DIM_RESISTANCE);
    ck_assert(a->low < *a->at && *a->at < a->high);
    sw_plan_free(plan);
    free(agm);
    free(van);
}
END_TEST

/* A bank that is spared by a high cut-out comes back over it. */
START_TEST(a_restart_level_follows_its_cut_out)
{
    char *van = text_with(small_van, "\"parallel\": 2,", "\"parallel\": 2, \"cut_out\": \"12.1 V\",");
    char *agm = text_with(van, "lifepo4", "agm");
    sw_plan *lithium = plan_of_van(van), *lead = plan_of_van(agm);
    CLOSE(lithium->van->battery.restart_v, 12.6);
    CLOSE(lead->van->battery.restart_v, 12.6);
    sw_plan_free(lithium);
    sw_plan_free(lead);
    free(agm);
    free(van);
}
END_TEST

START_TEST(what_nobody_said_is_listed_once_each_with_value_and_mark)
{
    static const char *const paths[] = {"van /battery/health",
                                        "van /battery/cold_loss",
                                        "van /battery/management_draw",
                                        "van /battery/temperature_lag",
                                        "van /battery/resistance",
                                        "van /battery/charge_limit",
                                        "van /battery/discharge_limit",
                                        "van /battery/absorption",
                                        "van /battery/cut_out",
                                        "van /battery/restart",
                                        "van /battery/cold_stop",
                                        "van /battery/cold_full",
                                        "van /battery/hot_full",
                                        "van /battery/hot_stop",
                                        "van /battery/discharge_stop",
                                        "van /arrays/roof/mounting",
                                        "van /arrays/roof/temperature_coefficient",
                                        "van /arrays/roof/soiling",
                                        "van /arrays/roof/wiring",
                                        "van /arrays/roof/mismatch",
                                        "van /arrays/roof/roof_shade",
                                        "van /controller/efficiency",
                                        "van /controller/own_draw",
                                        "van /alternator/spare_cruise",
                                        "van /alternator/spare_idle",
                                        "van /alternator/converter_efficiency",
                                        "van /shore/charger_efficiency",
                                        "van /shore/charger_power_factor",
                                        "van /inverter/idle",
                                        "van /inverter/peak_efficiency",
                                        "van /inverter/full_efficiency",
                                        "van /inverter/cut_out",
                                        "van /inverter/restart",
                                        "van /loads/fridge/reference_energy"};
    sw_plan *plan = plan_of_van(small_van);
    ck_assert_int_eq(plan->assumptions, (int)(sizeof paths / sizeof paths[0]));
    for (size_t i = 0; i < sizeof paths / sizeof paths[0]; i++) {
        const sw_assumption *a = assumption_at(plan, paths[i]);
        ck_assert_msg(a != NULL, "%s", paths[i]);
        ck_assert_msg(a->mark[0] != '\0' && a->says[0] != '\0' && a->value[0] != '\0', "%s", paths[i]);
        ck_assert(a->at == NULL || (a->low <= *a->at && *a->at <= a->high));
    }
    sw_plan_free(plan);
}
END_TEST

START_TEST(an_assumed_word_is_shown_as_the_word)
{
    sw_plan *plan = plan_of_van(small_van);
    const sw_assumption *a = assumption_at(plan, "van /arrays/roof/mounting");
    ck_assert_str_eq(a->value, "gap");
    ck_assert_ptr_null(a->at);
    sw_plan_free(plan);
}
END_TEST

/* ---- errors ---- */

START_TEST(all_errors_of_a_van_and_its_parts_are_told_in_one_go)
{
    static const char van[] = "{\"format\": \"stillwatt van 1\", \"battery\": {\"chemistry\": \"agm\", "
                              "\"capacity\": 5, \"helth\": \"90 "
                              "%\"}, \"controller\": {\"limit\": \"3 kW\"}, \"inverter\": {\"rating\": \"9 "
                              "W\"}, \"loads\": {\"a\": "
                              "{\"kind\": \"steady\", \"bus\": \"dc\"}, \"b\": {\"part\": \"kettle\"}}}";
    static const char *const told[] = {
        "/: ",        "/battery/helth: ", "/battery/capacity: ", "/controller/limit: ", "/inverter/rating: ",
        "/loads/a: ", "/is/uses: "};
    char *kettle = text_with(part_of_kettle, "\"uses\": 4", "\"uses\": \"4\"");
    memory_file file[] = {{"van.json", van}, {"kettle", kettle}, {NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    ck_assert_int_eq(sw_read_van(&loader, "van.json", messages, &plan), SW_BAD_INPUT);
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
    free(kettle);
}
END_TEST

START_TEST(a_part_alone_is_checked_and_gives_no_plan)
{
    memory_file file[] = {{"part.json", part_of_battery}, {NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    sw_file_kind kind = SW_FILE_VAN;
    ck_assert_int_eq(sw_read_any(&loader, "part.json", messages, &kind, &plan), SW_OK);
    ck_assert_int_eq(kind, SW_FILE_PART);
    ck_assert_ptr_null(plan);
    file[0].text = "{\"format\": \"stillwatt part 1\", \"name\": \"x\", \"kind\": \"shore\", \"is\": "
                   "{\"inlet_current\": \"30 V\"}}";
    ck_assert_int_eq(sw_read_any(&loader, "part.json", messages, &kind, &plan), SW_BAD_INPUT);
    sw_messages_free(messages);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {twins_in_si_and_us_units_give_equal_plans,
                                  each_key_of_the_battery_lands_in_its_field,
                                  each_key_of_the_sources_lands_in_its_field,
                                  each_key_of_what_holds_and_burns_fuel_lands_in_its_field,
                                  each_key_of_the_loads_lands_in_its_field,
                                  a_van_that_says_all_leaves_nothing_assumed,
                                  a_habit_outdoes_the_van_the_van_its_part_and_the_part_the_default,
                                  of_two_ways_to_say_the_same_the_habit_counts,
                                  a_batterys_unsaid_figures_follow_from_chemistry_and_size,
                                  a_restart_level_follows_its_cut_out,
                                  what_nobody_said_is_listed_once_each_with_value_and_mark,
                                  an_assumed_word_is_shown_as_the_word,
                                  all_errors_of_a_van_and_its_parts_are_told_in_one_go,
                                  a_part_alone_is_checked_and_gives_no_plan,
                                  NULL};
    return sw_suite_of("van files", tests, 20);
}
