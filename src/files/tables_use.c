// The keys of loads, habits and trip files.
#include "files/key_rows.h"

static const sw_word load_kinds[] = {{"steady", SW_LOAD_STEADY},
                                     {"use", SW_LOAD_USE},
                                     {"measured", SW_LOAD_MEASURED},
                                     {"fridge", SW_LOAD_FRIDGE},
                                     {"hot-water", SW_LOAD_HOT_WATER},
                                     {"heater", SW_LOAD_HEATER},
                                     {"evaporative", SW_LOAD_EVAPORATIVE},
                                     {"aircon", SW_LOAD_AIRCON},
                                     {"fan", SW_LOAD_FAN},
                                     {NULL, 0}};
static const sw_word buses[] = {{"dc", SW_BUS_DC}, {"ac", SW_BUS_AC}, {NULL, 0}};
static const sw_word held_words[] = {
    {"must", SW_MUST}, {"want", SW_WANT}, {"can-wait", SW_CAN_WAIT}, {NULL, 0}};
static const sw_word weekdays[] = {{"sun", 1 << 0}, {"mon", 1 << 1}, {"tue", 1 << 2}, {"wed", 1 << 3},
                                   {"thu", 1 << 4}, {"fri", 1 << 5}, {"sat", 1 << 6}, {NULL, 0}};
static const sw_word conditions[] = {{"parked", SW_WHEN_PARKED},
                                     {"driving", SW_WHEN_DRIVING},
                                     {"shore", SW_WHEN_SHORE},
                                     {"off-grid", SW_WHEN_OFF_GRID},
                                     {"dark", SW_WHEN_DARK},
                                     {"light", SW_WHEN_LIGHT},
                                     {NULL, 0}};
static const sw_word drains[] = {
    {"grey", SW_TANK_GREY}, {"toilet", SW_TANK_TOILET}, {"nowhere", SW_TANKS}, {NULL, 0}};
static const sw_word services[] = {{"fresh", 1 << SW_TANK_FRESH},   {"grey", 1 << SW_TANK_GREY},
                                   {"toilet", 1 << SW_TANK_TOILET}, {"fuel", 1 << SW_TANK_FUEL},
                                   {"can", 1 << SW_TANK_CAN},       {NULL, 0}};
static const sw_word stored_words[] = {{"off", 0}, {"on", 1}, {NULL, 0}};
static const sw_word panels_words[] = {{"open", 0}, {"covered", 1}, {NULL, 0}};
static const sw_word yes_or_no[] = {{"no", 0}, {"yes", 1}, {NULL, 0}};
static const sw_word sky_kinds[] = {{"average", SW_SKY_AVERAGE},
                                    {"told", SW_SKY_TOLD},
                                    {"hourly", SW_SKY_HOURLY},
                                    {"chance", SW_SKY_CHANCE},
                                    {NULL, 0}};

// What the people decide: the same keys in a van's load and in a trip's habits.
#define SELF sw_load_spec
#define HABIT_ROWS                                                                                             \
    {CHOICE("held", held_words), USUALLY(SW_WANT), AT(held), .example = "\"must\"",                            \
     .says = "how dearly it is held: must, want or can-wait"},                                                 \
        {COUNT("count"), USUALLY(1),     AT(count),                                                            \
         RANGE(0, 100),  .example = "2", .says = "how many of them; 0 leaves it at home"},                     \
        {QUANTITY("duty", RATIO),                                                                              \
         USUALLY(1),                                                                                           \
         AT(duty),                                                                                             \
         RANGE(0, 1),                                                                                          \
         .example = "\"40 %\"",                                                                                \
         .says = "share of its hours in which it really runs"},                                                \
        {.name = "hours",                                                                                      \
         .kind = SW_KEY_WINDOWS,                                                                               \
         OPTIONAL,                                                                                             \
         AT(hours),                                                                                            \
         .example = "\"18:00-22:30\"",                                                                         \
         .says = "local hours; all day if not given"},                                                         \
        {NUMBER("uses"), OPTIONAL, AT(uses), RANGE(0, 200), .example = "2", .says = "uses a day"},             \
        {QUANTITY("each", TIME),         OPTIONAL, AT(each_s), RANGE(1, 86400), .example = "\"4 min\"",        \
         .says = "how long one use runs"},                                                                     \
        {.name = "at",                                                                                         \
         .kind = SW_KEY_TIMES,                                                                                 \
         OPTIONAL,                                                                                             \
         AT(at),                                                                                               \
         .example = "[\"07:10\", \"16:00\"]",                                                                  \
         .says = "when the uses begin; spread over the hours if not given"},                                   \
        {QUANTITY("energy_per_day", ENERGY), OPTIONAL, AT(per_day_wh), RANGE(0, 1e6), .example = "\"180 Wh\"", \
         .says = "measured energy a day"},                                                                     \
        {QUANTITY("charge_per_day", CHARGE),                                                                   \
         OPTIONAL,                                                                                             \
         AT(per_day_ah),                                                                                       \
         RANGE(0, 1e5),                                                                                        \
         .example = "\"15 Ah\"",                                                                               \
         .says = "measured charge a day, at the bank's nominal voltage"},                                      \
        {CHOICES("days", weekdays), USUALLY(127), AT(weekdays), .example = "[\"sat\", \"sun\"]",               \
         .says = "weekdays on which it runs"},                                                                 \
        {CHOICES("when", conditions), USUALLY(0), AT(when), .example = "[\"parked\", \"dark\"]",               \
         .says = "conditions that must all be met"},                                                           \
        {QUANTITY("outside_above", TEMPERATURE),                                                               \
         OPTIONAL,                                                                                             \
         AT(outside_above_c),                                                                                  \
         RANGE(-60, 70),                                                                                       \
         .example = "\"80 F\"",                                                                                \
         .says = "only when it is warmer outside"},                                                            \
        {QUANTITY("outside_below", TEMPERATURE),                                                               \
         OPTIONAL,                                                                                             \
         AT(outside_below_c),                                                                                  \
         RANGE(-60, 70),                                                                                       \
         .example = "\"8 C\"",                                                                                 \
         .says = "only when it is colder outside"},                                                            \
        {QUANTITY("cabin_above", TEMPERATURE),                                                                 \
         OPTIONAL,                                                                                             \
         AT(cabin_above_c),                                                                                    \
         RANGE(-60, 70),                                                                                       \
         .example = "\"26 C\"",                                                                                \
         .says = "only when it is warmer in the cabin"},                                                       \
        {QUANTITY("cabin_below", TEMPERATURE),                                                                 \
         OPTIONAL,                                                                                             \
         AT(cabin_below_c),                                                                                    \
         RANGE(-60, 70),                                                                                       \
         .example = "\"18 C\"",                                                                                \
         .says = "only when it is colder in the cabin"},                                                       \
        {QUANTITY("set_point", TEMPERATURE),  USUALLY(4), AT(set_c), RANGE(-30, 20), .example = "\"4 C\"",     \
         .says = "fridge: temperature inside"},                                                                \
        {QUANTITY("keeps", TEMPERATURE),                                                                       \
         OPTIONAL,                                                                                             \
         AT(keeps_c),                                                                                          \
         RANGE(-10, 45),                                                                                       \
         .example = "\"19 C\"",                                                                                \
         .says = "heaters and coolers: cabin temperature that they keep"},                                     \
    {                                                                                                          \
        CHOICE("stored", stored_words), USUALLY(0), AT(stored),                                                \
            .example = "\"on\"", .says = "whether it runs on while the van is laid up: on or off"              \
    }

static const sw_key load_keys[] = {
    PART_ROWS,
    {CHOICE("kind", load_kinds), NEEDED, AT(kind), .example = "\"steady\"",
     .says = "how its use is described: steady, use, measured, fridge, hot-water, heater, evaporative, "
             "aircon or fan"},
    {CHOICE("bus", buses), NEEDED, AT(bus), .example = "\"dc\"",
     .says = "fed by the battery (dc) or by inverter and hookup (ac)"},
    {CHOICE("medical", yes_or_no), USUALLY(0), AT(medical), .example = "\"yes\"",
     .says = "whether somebody's health depends on it"},
    {QUANTITY("power", POWER), OPTIONAL, AT(power_w), RANGE(0, 20000), .example = "\"45 W\"",
     .says = "while it runs; of a fridge, while its compressor runs"},
    {QUANTITY("reference", TEMPERATURE), USUALLY(25), AT(reference_c), RANGE(5, 45), .example = "\"25 C\"",
     .says = "fridge: ambient at which its energy a day holds"},
    {QUANTITY("reference_energy", ENERGY), ASSUMED(500, 300, 1000, TYPICAL), AT(reference_wh),
     RANGE(10, 20000), .example = "\"500 Wh\"", .says = "fridge: energy a day at that ambient"},
    {QUANTITY("cold", TEMPERATURE), ASSUMED(12, 5, 20, TYPICAL), AT(cold_c), RANGE(0, 60),
     .example = "\"12 C\"", .says = "hot water: temperature that it comes with"},
    {QUANTITY("warm", TEMPERATURE), OPTIONAL, AT(warm_c), RANGE(1, 100), .example = "\"40 C\"",
     .says = "hot water: temperature that it is made"},
    {QUANTITY("heat", POWER), OPTIONAL, AT(heat_w), RANGE(10, 20000), .example = "\"2000 W\"",
     .says = "heater: heat at full power; air conditioner: heat that it takes out"},
    {QUANTITY("start_power", POWER), USUALLY(0), AT(start_w), RANGE(0, 5000), .example = "\"110 W\"",
     .says = "heater: what its glow plug takes on top while it starts"},
    {QUANTITY("start_time", TIME), USUALLY(180), AT(start_s), RANGE(1, 3600), .example = "\"3 min\"",
     .says = "heater: how long a start takes; typical if not given"},
    {QUANTITY("airflow", AIR_FLOW), OPTIONAL, AT(airflow_m3_h), RANGE(1, 5000), .example = "\"300 m3/h\"",
     .says = "evaporative cooler, fan: outside air that it blows at full power"},
    {QUANTITY("effectiveness", RATIO), ASSUMED(0.75, 0.5, 0.9, TYPICAL), AT(effectiveness), RANGE(0.1, 1),
     .example = "\"75 %\"", .says = "evaporative cooler: how far the air comes towards its wet bulb"},
    {QUANTITY("water", VOLUME), OPTIONAL, AT(water_l), RANGE(0, 500), .example = "\"9 L\"",
     .says = "fresh water of a use, of an hour that it runs, or of a measured day"},
    {CHOICE("drains_to", drains), USUALLY(SW_TANK_GREY), AT(drain), .example = "\"grey\"",
     .says = "where its water goes: grey, toilet or nowhere"},
    {QUANTITY("fuel", VOLUME), OPTIONAL, AT(fuel_l), RANGE(0, 20), .example = "\"0.15 L\"",
     .says = "fuel of a use, of an hour that it runs, or of a measured day"},
    HABIT_ROWS,
};
// ---- which keys belong to which kind of load, and what each kind needs ----

enum {
    STEADY = SW_KIND(SW_LOAD_STEADY),
    USE = SW_KIND(SW_LOAD_USE),
    MEASURED = SW_KIND(SW_LOAD_MEASURED),
    FRIDGE = SW_KIND(SW_LOAD_FRIDGE),
    HOT_WATER = SW_KIND(SW_LOAD_HOT_WATER),
    HEATER = SW_KIND(SW_LOAD_HEATER),
    EVAPORATIVE = SW_KIND(SW_LOAD_EVAPORATIVE),
    AIRCON = SW_KIND(SW_LOAD_AIRCON),
    FAN = SW_KIND(SW_LOAD_FAN),
    THERMOSTAT = HEATER | EVAPORATIVE | AIRCON | FAN
};
const sw_kind_key sw_load_kind_keys[] = {
    {"power", STEADY | USE | FRIDGE | HOT_WATER | THERMOSTAT},
    {"duty", STEADY | USE},
    {"hours", STEADY | USE | MEASURED | HOT_WATER | THERMOSTAT},
    {"uses", USE | HOT_WATER},
    {"each", USE},
    {"at", USE | HOT_WATER},
    {"energy_per_day", MEASURED},
    {"charge_per_day", MEASURED},
    {"set_point", FRIDGE},
    {"reference", FRIDGE},
    {"reference_energy", FRIDGE},
    {"water", STEADY | USE | MEASURED | HOT_WATER},
    {"drains_to", STEADY | USE | MEASURED | HOT_WATER},
    {"fuel", STEADY | USE | MEASURED | HEATER},
    {"cold", HOT_WATER},
    {"warm", HOT_WATER},
    {"keeps", THERMOSTAT},
    {"heat", HEATER | AIRCON},
    {"start_power", HEATER},
    {"start_time", HEATER},
    {"airflow", EVAPORATIVE | FAN},
    {"effectiveness", EVAPORATIVE},
    {"medical", STEADY | USE | MEASURED},
    {"stored", STEADY | USE | MEASURED | HOT_WATER | THERMOSTAT},
    {"days", STEADY | USE | MEASURED | HOT_WATER | THERMOSTAT},
    {"when", STEADY | USE | MEASURED | HOT_WATER | THERMOSTAT},
    {"outside_above", STEADY | USE | MEASURED | HOT_WATER | THERMOSTAT},
    {"outside_below", STEADY | USE | MEASURED | HOT_WATER | THERMOSTAT},
    {"cabin_above", STEADY | USE | MEASURED},
    {"cabin_below", STEADY | USE | MEASURED},
    {NULL, 0},
};

const sw_kind_need sw_load_needs[] = {
    {STEADY | FRIDGE | HEATER, "power", NULL, "power", "add \"power\": \"45 W\""},
    {HOT_WATER | EVAPORATIVE | AIRCON | FAN, "power", NULL, "power", "add \"power\": \"500 W\""},
    {HOT_WATER, "water", NULL, "water", "add \"water\": \"10 L\""},
    {HOT_WATER, "warm", NULL, "warm", "add \"warm\": \"40 C\""},
    {HOT_WATER, "uses", "at", "uses", "add \"uses\": 2, or the times \"at\": [\"07:10\", \"16:00\"]"},
    {THERMOSTAT, "keeps", NULL, "keeps", "add \"keeps\": \"19 C\""},
    {HEATER | AIRCON, "heat", NULL, "heat", "add \"heat\": \"2000 W\""},
    {EVAPORATIVE | FAN, "airflow", NULL, "airflow", "add \"airflow\": \"300 m3/h\""},
    {USE, "power", NULL, "power", "add \"power\": \"1200 W\""},
    {USE, "each", NULL, "each", "add \"each\": \"4 min\""},
    {USE, "uses", "at", "uses", "add \"uses\": 2, or the times \"at\": [\"07:10\", \"16:00\"]"},
    {MEASURED, "energy_per_day", "charge_per_day", "energy_per_day\" or \"charge_per_day",
     "add one of them, such as \"charge_per_day\": \"15 Ah\""},
    {0, NULL, NULL, NULL, NULL},
};

const sw_table sw_load_table = {"a load", load_keys, COUNT_OF(load_keys)};

static const sw_key habit_keys[] = {HABIT_ROWS};
const sw_table sw_habit_table = {"a habit", habit_keys, COUNT_OF(habit_keys)};
#undef SELF

#define SELF sw_trip
static const sw_key trip_keys[] = {
    {OTHER("format"), NEEDED, .example = "\"stillwatt trip 1\"", .says = "what this file is"},
    {TEXT("name"), NEEDED, AT(name), .example = "\"A week on the mesa\"",
     .says = "what people call the trip"},
    {OTHER("van"), NEEDED, .example = "\"../vans/weekend.json\"",
     .says = "the van file, seen from this file"},
    {QUANTITY("reserve", RATIO), OPTIONAL, AT(reserve), RANGE(0, 0.95), .example = "\"20 %\"",
     .says = "charge never to fall below; 20 % for lithium, 50 % for AGM if not given"},
    {QUANTITY("start_charge", RATIO), ASSUMED(1.0, 0.8, 1.0, PRACTICE), AT(start_soc), RANGE(0, 1),
     .example = "\"90 %\"", .says = "charge when the trip begins"},
    {QUANTITY("cabin_at_least", TEMPERATURE), ASSUMED(16, 10, 21, PRACTICE), AT(cabin_least_c),
     RANGE(-40, 40), .example = "\"18 C\"",
     .says = "lowest cabin temperature: above it the cabin follows the outside air"},
    {QUANTITY("cabin_at_most", TEMPERATURE), ASSUMED(45, 28, 50, PRACTICE), AT(cabin_most_c), RANGE(-30, 80),
     .example = "\"30 C\"", .says = "highest cabin temperature: below it the cabin follows the outside air"},
    {COUNT("people"), OPTIONAL, AT(people), RANGE(1, 12), .example = "2", .says = "how many are aboard"},
    {QUANTITY("water_per_person", VOLUME), OPTIONAL, AT(water_l), RANGE(0, 200), .example = "\"10 L\"",
     .says = "fresh water of a person and day, beside what loads take"},
    {QUANTITY("drained", RATIO), OPTIONAL, AT(drained), RANGE(0, 1), .example = "\"80 %\"",
     .says = "share of that water that ends in the grey tank"},
    {QUANTITY("toilet_per_person", VOLUME), OPTIONAL, AT(toilet_l), RANGE(0, 30), .example = "\"1.5 L\"",
     .says = "what a person brings into the toilet's tank in a day, beside the water of loads"},
    {OTHER("places"), NEEDED, .example = "{\"mesa\": {\"station\": \"Moab\"}}",
     .says = "places of the trip by name"},
    {OTHER("legs"), NEEDED,
     .example = "[{\"stay\": \"mesa\", \"from\": \"2026-11-06 16:00\", \"to\": \"2026-11-08 10:00\"}]",
     .says = "stays, drives and stores in order"},
    {OTHER("sky"), OPTIONAL, .example = "{\"kind\": \"average\"}",
     .says = "the weather to rehearse under; average if not given"},
    {OTHER("habits"), OPTIONAL, .example = "{\"kettle\": {\"uses\": 3}}",
     .says = "how these people use the van's loads, by load"},
};
const sw_table sw_trip_table = {"a trip", trip_keys, COUNT_OF(trip_keys)};
#undef SELF

#define SELF sw_place
static const sw_key place_keys[] = {
    {TEXT("station"), OPTIONAL, AT(station), .example = "\"Grand Junction CO\"",
     .says = "a station of the weather table; gives position, height and zone"},
    {NUMBER("latitude"), OPTIONAL, AT(lat_deg), RANGE(-90, 90), .example = "38.57",
     .says = "degrees, north positive"},
    {NUMBER("longitude"), OPTIONAL, AT(lon_deg), RANGE(-180, 180), .example = "-109.55",
     .says = "degrees, east positive"},
    {QUANTITY("elevation", LENGTH), OPTIONAL, AT(elevation_m), RANGE(-430, 6000), .example = "\"1370 m\"",
     .says = "height above the sea"},
    {TEXT("zone"), OPTIONAL, AT(zone), .example = "\"America/Denver\"", .says = "IANA time zone"},
    {NUMBER("turbidity"), ASSUMED(3, 2, 5, TYPICAL), AT(turbidity), RANGE(1, 10), .example = "3",
     .says = "Linke turbidity of the clear air (2 in clean mountain air, 3 as a rule, 5 in haze)"},
    {QUANTITY("albedo", RATIO), ASSUMED(0.2, 0.1, 0.35, TYPICAL), AT(albedo), RANGE(0, 0.95),
     .example = "\"20 %\"", .says = "light that the ground throws back"},
    {QUANTITY("dew_point", TEMPERATURE), OPTIONAL, AT(dew_c), RANGE(-40, 35), .example = "\"4 C\"",
     .says =
         "of its air; from a record's humidity, or 2 K under the night's lowest temperature if not given"},
    {OTHER("normals"), OPTIONAL, .example = "{\"daily_sun\": [...], \"low\": [...], \"high\": [...]}",
     .says = "own monthly means instead of the weather table's"},
    {OTHER("skyline"), OPTIONAL, .example = "[{\"toward\": \"90 deg\", \"height\": \"18 deg\"}]",
     .says = "how high hills stand around the place, by direction; level if not given"},
    {.name = "quiet_hours",
     .kind = SW_KEY_WINDOWS,
     OPTIONAL,
     AT(quiet_hours),
     .example = "\"20:00-08:00\"",
     .says = "when neither generator nor engine may run to charge"},
};
const sw_table sw_place_table = {"a place", place_keys, COUNT_OF(place_keys)};
#undef SELF

#define SELF sw_normals
static const sw_key normals_keys[] = {
    {.name = "daily_sun",
     .kind = SW_KEY_MONTHS,
     .dimension = SW_DIM_IRRADIATION,
     NEEDED,
     AT(daily_sun_kwh_m2),
     RANGE(0, 12),
     .example = "[\"2.9 kWh/m2\", ... twelve values]",
     .says = "mean daily energy on the flat, January to December"},
    {.name = "low",
     .kind = SW_KEY_MONTHS,
     .dimension = SW_DIM_TEMPERATURE,
     NEEDED,
     AT(low_c),
     RANGE(-70, 50),
     .example = "[\"-4 C\", ... twelve values]",
     .says = "mean of the daily lowest temperatures"},
    {.name = "high",
     .kind = SW_KEY_MONTHS,
     .dimension = SW_DIM_TEMPERATURE,
     NEEDED,
     AT(high_c),
     RANGE(-60, 60),
     .example = "[\"8 C\", ... twelve values]",
     .says = "mean of the daily highest temperatures"},
    {QUANTITY("spread", RATIO), ASSUMED(0.18, 0.08, 0.22, TYPICAL), AT(spread), RANGE(0, 0.4),
     .example = "\"18 %\"", .says = "standard deviation of the daily clearness index"},
};
const sw_table sw_normals_table = {"monthly means", normals_keys, COUNT_OF(normals_keys)};
#undef SELF

#define SELF sw_skyline_point
static const sw_key skyline_keys[] = {
    {QUANTITY("toward", ANGLE), NEEDED, AT(toward_deg), RANGE(0, 360), .example = "\"90 deg\"",
     .says = "the direction, clockwise from north"},
    {QUANTITY("height", ANGLE), NEEDED, AT(height_deg), RANGE(0, 85), .example = "\"18 deg\"",
     .says = "how high hills or woods stand there over the level"},
};
const sw_table sw_skyline_table = {"a point of the skyline", skyline_keys, COUNT_OF(skyline_keys)};
#undef SELF

#define SELF sw_shade
static const sw_key shade_keys[] = {
    {.name = "hours",
     .kind = SW_KEY_WINDOWS,
     OPTIONAL,
     AT(hours),
     .example = "\"06:00-10:30\"",
     .says = "when, by the clock; all day if not given"},
    {QUANTITY("beam", RATIO), NEEDED, AT(beam), RANGE(0, 1), .example = "\"80 %\"",
     .says = "share of the panels that the sun does not reach"},
    {QUANTITY("sky", RATIO), ASSUMED(0.4, 0.1, 0.8, PRACTICE), AT(sky), RANGE(0, 1), .example = "\"40 %\"",
     .says = "share of the sky's light that trees take"},
};
const sw_table sw_shade_table = {"a shade", shade_keys, COUNT_OF(shade_keys)};
#undef SELF

#define SELF sw_leg
static const sw_key leg_keys[] = {
    {OTHER("stay"), OPTIONAL, .example = "\"mesa\"", .says = "the place of a stay"},
    {OTHER("store"), OPTIONAL, .example = "\"barn\"", .says = "the place where the van is laid up"},
    {OTHER("drive"), OPTIONAL, .example = "[\"town\", \"mesa\"]", .says = "from where to where a drive goes"},
    {.name = "from",
     .kind = SW_KEY_LOCAL_TIME,
     OPTIONAL,
     AT(from_local_s),
     .example = "\"2026-11-06 16:00\"",
     .says = "local begin; the end of the leg before if not given"},
    {.name = "to",
     .kind = SW_KEY_LOCAL_TIME,
     NEEDED,
     AT(to_local_s),
     .example = "\"2026-11-08 10:00\"",
     .says = "local end, on the clock of the place where it ends"},
    {QUANTITY("distance", LENGTH), OPTIONAL, AT(distance_m), RANGE(0, 2e7), .example = "\"180 km\"",
     .says = "length of the road"},
    {QUANTITY("idling", RATIO), ASSUMED(0.15, 0.05, 0.4, TYPICAL), AT(idle_share), RANGE(0, 1),
     .example = "\"15 %\"", .says = "share of a drive with the engine at idle"},
    {QUANTITY("heading", ANGLE), USUALLY(0), AT(heading_deg), RANGE(0, 360), .example = "\"180 deg\"",
     .says = "where the van's nose points while parked, clockwise from north"},
    {OTHER("hookup"), OPTIONAL, .example = "{\"current\": \"30 A\", \"voltage\": \"120 V\"}",
     .says = "a pedestal to plug into"},
    {CHOICE("panels", panels_words), USUALLY(0), AT(covered), .example = "\"covered\"",
     .says = "laid up: whether the panels are open to the sky or covered"},
    {CHOICE("disconnected", yes_or_no), USUALLY(0), AT(disconnected), .example = "\"yes\"",
     .says = "laid up: whether the battery's main switch is open, so that nothing hangs on it"},
    {.name = "snow_until",
     .kind = SW_KEY_LOCAL_TIME,
     OPTIONAL,
     AT(snow_until_local_s),
     .example = "\"2026-11-08 10:00\"",
     .says = "panels on the van lie under snow until it is cleared, or melts"},
    {.name = "washed",
     .kind = SW_KEY_LOCAL_TIME,
     OPTIONAL,
     AT(washed_local_s),
     .example = "\"2026-11-07 09:00\"",
     .says = "when the panels are washed, by hand or by a rain that the sky does not know of"},
    {OTHER("shade"), OPTIONAL, .example = "[{\"hours\": \"06:00-10:30\", \"beam\": \"80 %\"}]",
     .says = "what trees take from the panels, by the hour"},
    {.name = "generator_hours",
     .kind = SW_KEY_WINDOWS,
     OPTIONAL,
     AT(generator_hours),
     .example = "\"09:00-11:00\"",
     .says = "when the generator runs, every day of the stay"},
    {.name = "engine_hours",
     .kind = SW_KEY_WINDOWS,
     OPTIONAL,
     AT(engine_hours),
     .example = "\"17:00-17:45\"",
     .says = "when the engine idles to charge, every day of the stay"},
    {CHOICES("services", services), USUALLY(0), AT(services), .example = "[\"fresh\", \"grey\"]",
     .says = "tanks that are filled, or emptied, on arrival"},
};
const sw_table sw_leg_table = {"a leg", leg_keys, COUNT_OF(leg_keys)};

const char *const sw_leg_kind_words[SW_LEG_KINDS] = {"stay", "drive", "store"};

#define DRIVE  SW_KIND(SW_LEG_DRIVE)
#define STAY   SW_KIND(SW_LEG_STAY)
#define STORE  SW_KIND(SW_LEG_STORE)
#define PARKED (STAY | STORE)
const sw_kind_key sw_leg_kind_keys[] = {
    {"distance", DRIVE},       {"idling", DRIVE},      {"heading", PARKED}, {"hookup", PARKED},
    {"shade", PARKED},         {"snow_until", PARKED}, {"panels", STORE},   {"disconnected", STORE},
    {"generator_hours", STAY}, {"engine_hours", STAY}, {"services", STAY},  {NULL, 0},
};

static const sw_key hookup_keys[] = {
    {QUANTITY("current", CURRENT), NEEDED, AT(shore_a), RANGE(1, 125), .example = "\"30 A\"",
     .says = "breaker of the pedestal"},
    {QUANTITY("voltage", VOLTAGE), NEEDED, AT(shore_v), RANGE(90, 260), .example = "\"120 V\"",
     .says = "its voltage of one hot leg, of a weak pedestal under load"},
    {COUNT("hot_legs"), USUALLY(1), AT(shore_legs), RANGE(1, 2), .example = "2",
     .says = "hot legs: 2 of a 50 A pedestal of 120/240 V, each with the whole breaker"},
    {QUANTITY("steady", RATIO), OPTIONAL, AT(shore_steady), RANGE(0.3, 1), .example = "\"80 %\"",
     .says = "share of the breaker for three hours and more; 80 % up to 150 V, 100 % above if not given"},
};
const sw_table sw_hookup_table = {"a hookup", hookup_keys, COUNT_OF(hookup_keys)};
#undef SELF

#define SELF sw_sky_spec
static const sw_key sky_keys[] = {
    {CHOICE("kind", sky_kinds), NEEDED, AT(kind), .example = "\"average\"",
     .says = "average, told, hourly or chance"},
    {OTHER("otherwise"), OPTIONAL, .example = "\"scattered\"",
     .says = "told: cloud of all days that are not named"},
    {OTHER("days"), OPTIONAL, .example = "{\"2026-11-08\": \"overcast\"}",
     .says = "cloud by date: the rest of a told sky, or days that are told within another"},
    {QUANTITY("haze", RATIO), USUALLY(0), AT(haze), RANGE(0, 0.9), .example = "\"20 %\"",
     .says = "told: light that smoke or haze takes"},
    {TEXT("file"), OPTIONAL, AT(file), .example = "\"denver.epw\"",
     .says = "hourly: a weather file, or a folder of files of one place, one after the other in time; seen "
             "from this file"},
    {COUNT("year"), OPTIONAL, AT(year), RANGE(1800, 2200), .example = "2012",
     .says =
         "hourly: which year of the record stands for the trip's dates; its own or the latest if not given"},
    {COUNT("draw"), USUALLY(1), AT(draw), RANGE(0, 1000000), .example = "7",
     .says = "chance: which of the many skies that are equally likely; each number is another"},
};
const sw_table sw_sky_table = {"a sky", sky_keys, COUNT_OF(sky_keys)};
#undef SELF

const sw_kind_key sw_sky_kind_keys[] = {
    {"otherwise", SW_KIND(SW_SKY_TOLD)}, {"haze", SW_KIND(SW_SKY_TOLD)},   {"file", SW_KIND(SW_SKY_HOURLY)},
    {"year", SW_KIND(SW_SKY_HOURLY)},    {"draw", SW_KIND(SW_SKY_CHANCE)}, {NULL, 0},
};

const sw_kind_need sw_sky_needs[] = {
    {SW_KIND(SW_SKY_TOLD), "otherwise", NULL,
     "a told sky needs \"otherwise\", the cloud of all days not named", "add \"otherwise\": \"scattered\""},
    {SW_KIND(SW_SKY_HOURLY), "file", NULL, "an hourly sky needs its \"file\"",
     "add \"file\": \"denver.epw\""},
    {0, NULL, NULL, NULL, NULL},
};

const sw_cloud_word sw_cloud_words[SW_CLOUD_WORDS] = {
    {"clear", 0.0}, {"few", 1.5}, {"scattered", 3.5}, {"broken", 6.0}, {"overcast", 8.0}};

#define SELF sw_told_day
static const sw_key told_keys[] = {
    {OTHER("morning"), NEEDED, .example = "\"few\"", .says = "cloud before solar noon"},
    {OTHER("afternoon"), NEEDED, .example = "\"broken\"", .says = "cloud after solar noon"},
    {QUANTITY("low", TEMPERATURE), OPTIONAL, AT(low_c), RANGE(-70, 50), .example = "\"-3 C\"",
     .says = "lowest temperature of the day"},
    {QUANTITY("high", TEMPERATURE), OPTIONAL, AT(high_c), RANGE(-60, 60), .example = "\"12 C\"",
     .says = "highest temperature of the day"},
};
const sw_table sw_told_table = {"a told day", told_keys, COUNT_OF(told_keys)};
#undef SELF
