// Water, waste and fuel: the tanks of a van, what a trip asks of them, and of generator and engine.
#include "files/key_rows.h"
#include "files/read_van.h"

#include <math.h>

// ---- the van ----

static void read_tank(sw_reader *reader, const sw_node *tanks, sw_tank kind, sw_tank_spec *tank)
{
    const char *key = sw_tanks_table.keys[kind].name;
    const sw_node *node = sw_node_member(tanks, key);
    const char *path = sw_reader_text(reader, "van /tanks/%s", key);
    tank->capacity_l = tank->start = NAN;
    if (node == NULL || path == NULL)
        return;
    sw_layers layers = sw_reader_layers(reader, &sw_tank_table, node, NULL, path);
    if (layers.count > 0)
        sw_fill(reader, &sw_tank_table, &layers, tank);
    if (isnan(tank->start))
        tank->start = SW_TANK_FILLS(kind) ? 0.0 : 1.0;
}

void sw_reader_tanks(sw_reader *reader, const sw_node *root, sw_van *van)
{
    const sw_node *tanks = sw_node_member(root, "tanks");
    if (tanks != NULL && !sw_check_keys(reader, &sw_tanks_table, tanks))
        tanks = NULL;
    for (int kind = 0; kind < SW_TANKS; kind++)
        read_tank(reader, tanks, (sw_tank)kind, &van->tank[kind]);
}

// ---- the trip ----

static int has(const sw_van *van, sw_tank tank)
{
    return !isnan(van->tank[tank].capacity_l);
}

static void derive(sw_reader *reader, double *at, const char *key, const char *says, sw_dimension dimension,
                   double value, double low, double high)
{
    if (!isnan(*at))
        return;
    *at = value;
    sw_assume(reader, "trip ", key, says, TYPICAL, at, dimension, low, high);
}

/* What people use is assumed only where there is a tank that counts it. */
static void derive_people(sw_reader *reader, sw_trip *trip, const sw_van *van)
{
    int water = has(van, SW_TANK_FRESH) || has(van, SW_TANK_GREY), toilet = has(van, SW_TANK_TOILET);
    if (trip->people < 0 && (water || toilet)) {
        trip->people = 2;
        sw_assume_word(reader, "trip ", "people", "how many are aboard", PRACTICE, "2");
    }
    if (water)
        derive(reader, &trip->water_l, "water_per_person",
               "fresh water of a person and day, beside what loads take", SW_DIM_VOLUME, 10, 5, 20);
    if (water)
        derive(reader, &trip->drained, "drained", "share of that water that ends in the grey tank",
               SW_DIM_RATIO, 0.8, 0.6, 0.95);
    if (toilet)
        derive(reader, &trip->toilet_l, "toilet_per_person", "what a person brings into the toilet in a day",
               SW_DIM_VOLUME, 1.5, 1, 3);
}

static void warn_of_quiet(sw_reader *reader, const sw_node *leg, const char *key, const sw_windows *hours,
                          const sw_place *place)
{
    int minutes = 0;
    if (hours == NULL || place->quiet_hours == NULL)
        return;
    for (int minute = 0; minute < 1440; minute++)
        minutes += sw_windows_hold(hours, minute) && sw_windows_hold(place->quiet_hours, minute);
    if (minutes > 0)
        sw_node_warn(reader->messages, sw_node_member(leg, key), "choose hours outside of them",
                     "%d min of these hours lie within the quiet hours of \"%s\": nothing runs then", minutes,
                     place->name);
}

static void check_running(sw_reader *reader, const sw_node *node, const sw_leg *leg, const sw_trip *trip,
                          sw_van *van)
{
    const sw_place *place = &trip->place[leg->place];
    if (leg->generator_hours != NULL && van->generator == NULL)
        sw_reader_error(reader, sw_node_member(node, "generator_hours"), 1,
                        "add \"generator\": {\"rating\": \"1000 W\"} to the van file",
                        "the van has no generator that could run");
    if (leg->engine_hours != NULL && van->alternator == NULL)
        sw_reader_error(reader, sw_node_member(node, "engine_hours"), 1,
                        "add \"alternator\": {\"converter_output\": \"360 W\"} to the van file",
                        "the engine would idle for nothing: the van has no charging from its alternator");
    if (leg->engine_hours != NULL && isnan(van->vehicle.idle_fuel_l)) {
        van->vehicle.idle_fuel_l = 1.0;
        sw_assume(reader, "van /vehicle", "idle_fuel", "fuel that the engine burns in an hour at idle",
                  TYPICAL, &van->vehicle.idle_fuel_l, SW_DIM_VOLUME, 0.6, 2.0);
    }
    warn_of_quiet(reader, node, "generator_hours", leg->generator_hours, place);
    warn_of_quiet(reader, node, "engine_hours", leg->engine_hours, place);
}

static void check_services(sw_reader *reader, const sw_node *node, const sw_leg *leg, const sw_van *van)
{
    for (int kind = 0; kind < SW_TANKS; kind++)
        if ((leg->services >> kind & 1u) != 0 && !has(van, (sw_tank)kind))
            sw_reader_error(reader, sw_node_member(node, "services"), 0,
                            "add it to the \"tanks\" of the van file, or leave the service away",
                            "the van has no \"%s\" tank", sw_tanks_table.keys[kind].name);
}

void sw_reader_supplies(sw_reader *reader, const sw_node *root, sw_trip *trip, sw_van *van)
{
    const sw_node *node = sw_node_member(root, "legs")->first;
    derive_people(reader, trip, van);
    for (int i = 0; i < trip->legs; i++, node = node->next) {
        check_running(reader, node, &trip->leg[i], trip, van);
        check_services(reader, node, &trip->leg[i], van);
    }
}
