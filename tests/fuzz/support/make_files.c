// Made from bytes, so that a fuzzer that changes a byte changes a choice; tests/support/random_files makes
// files from a seed, with physically likely values, so that a second opinion can follow them. The two stay
// apart.
#include "fuzz/support/make_files.h"

#include "files/keys.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// ---- single values ----

// A unit of each dimension, and how many of it the held unit is.
static const struct {
    sw_dimension dimension;
    const char *unit;
    double scale;
} units[] = {{SW_DIM_POWER, "W", 1},
             {SW_DIM_ENERGY, "Wh", 1},
             {SW_DIM_CHARGE, "Ah", 1},
             {SW_DIM_VOLTAGE, "V", 1},
             {SW_DIM_CURRENT, "A", 1},
             {SW_DIM_RESISTANCE, "ohm", 1},
             {SW_DIM_TEMPERATURE, "C", 1},
             {SW_DIM_LENGTH, "m", 1},
             {SW_DIM_AREA, "m2", 1},
             {SW_DIM_MASS, "kg", 1},
             {SW_DIM_TIME, "s", 1},
             {SW_DIM_ANGLE, "deg", 1},
             {SW_DIM_RATIO, "%", 100},
             {SW_DIM_PER_KELVIN, "%/K", 100},
             {SW_DIM_IRRADIATION, "kWh/m2", 1},
             {SW_DIM_MONEY, "USD", 1},
             {SW_DIM_APPARENT_POWER, "VA", 1},
             {SW_DIM_VOLUME, "L", 1},
             {SW_DIM_HEAT_LOSS, "W/K", 1},
             {SW_DIM_AIR_FLOW, "m3/h", 1}};

void fuzz_put_quantity(sw_dimension dimension, double value, fuzz_record *out)
{
    size_t i = 0;
    while (units[i].dimension != dimension)
        i++;
    fuzz_note(out, "\"%.6f %s\"", value * units[i].scale, units[i].unit);
}

// The least, the most, or anything between, more often small than large where the range spans decades.
static double any_value(fuzz_input *input, double least, double most)
{
    switch (fuzz_choose(input, 4)) {
    case 0:
        return least;
    case 1:
        return most;
    case 2:
        return fuzz_between(input, least, most);
    default:
        return least + (most - least) * pow(10, fuzz_between(input, -4, 0));
    }
}

static void put_choice(fuzz_input *input, const sw_key *key, fuzz_record *out)
{
    unsigned count = 0;
    while (key->words[count].word != NULL)
        count++;
    fuzz_note(out, "\"%s\"", key->words[fuzz_choose(input, count)].word);
}

static void put_choices(fuzz_input *input, const sw_key *key, fuzz_record *out)
{
    fuzz_note(out, "[");
    put_choice(input, key, out);
    if (fuzz_choose(input, 2) == 1) {
        fuzz_note(out, ", ");
        put_choice(input, key, out);
    }
    fuzz_note(out, "]");
}

static void put_hours(fuzz_input *input, fuzz_record *out)
{
    unsigned from = fuzz_choose(input, 24), to = fuzz_choose(input, 24);
    fuzz_note(out, "\"%02u:00-%02u:30\"", from, to);
}

// Options are taken one by one: the order in which a call's arguments are worked out differs by compiler.
static void put_clock(fuzz_input *input, fuzz_record *out)
{
    unsigned hour = fuzz_choose(input, 24), minute = fuzz_choose(input, 60);
    fuzz_note(out, "%02u:%02u", hour, minute);
}

static void put_times(fuzz_input *input, fuzz_record *out)
{
    fuzz_note(out, "[\"");
    put_clock(input, out);
    for (unsigned more = fuzz_choose(input, 4); more > 0; more--) {
        fuzz_note(out, "\", \"");
        put_clock(input, out);
    }
    fuzz_note(out, "\"]");
}

static void put_value(fuzz_input *input, const sw_key *key, fuzz_record *out)
{
    switch (key->kind) {
    case SW_KEY_QUANTITY:
        fuzz_put_quantity(key->dimension, any_value(input, key->least, key->most), out);
        break;
    case SW_KEY_NUMBER:
        fuzz_note(out, "%.6f", any_value(input, key->least, key->most));
        break;
    case SW_KEY_COUNT:
        fuzz_note(out, "%.0f", floor(any_value(input, key->least, key->most)));
        break;
    case SW_KEY_CHOICE:
        put_choice(input, key, out);
        break;
    case SW_KEY_CHOICES:
        put_choices(input, key, out);
        break;
    case SW_KEY_WINDOWS:
        put_hours(input, out);
        break;
    case SW_KEY_TIMES:
        put_times(input, out);
        break;
    case SW_KEY_TEXT:
    case SW_KEY_LOCAL_TIME:
    case SW_KEY_MONTHS:
    case SW_KEY_OTHER:
        fuzz_note(out, "%s", key->example);
        break;
    }
}

// ---- objects ----

static int is_among(const char *word, const char *words)
{
    const char *at = strstr(words, word);
    size_t length = strlen(word);
    while (at != NULL && !((at == words || at[-1] == ' ') && (at[length] == ' ' || at[length] == '\0')))
        at = strstr(at + 1, word);
    return at != NULL;
}

// The keys of a table, each by a choice: mostly left away, otherwise any value that its row allows. `without`
// names, with blanks between, the keys that the caller writes or wants to be absent.
static void put_keys(fuzz_input *input, const sw_table *table, const char *without, fuzz_record *out)
{
    for (size_t i = 0; i < table->count; i++) {
        const sw_key *key = &table->keys[i];
        if (key->kind == SW_KEY_OTHER || is_among(key->name, without))
            continue;
        unsigned choice = fuzz_choose(input, 4);
        if (choice < 3 && key->need != SW_NEEDED)
            continue;
        fuzz_note(out, ", \"%s\": ", key->name);
        if (choice == 3)
            put_value(input, key, out);
        else
            fuzz_note(out, "%s", key->example);
    }
}

static const char costs[] = " part price labour mass seat ";

static void put_battery(fuzz_input *input, fuzz_record *out)
{
    static const int banks[][2] = {{12, 1}, {12, 2}, {12, 4}, {24, 1}, {24, 2}, {48, 1}};
    static const struct {
        const char *key;
        double least_v, most_v; // of a 12 V unit, as the reader allows
    } limits[] = {{"absorption", 13, 16}, {"cut_out", 8, 13.2}, {"restart", 10, 14}};
    const int *bank = banks[fuzz_choose(input, 6)];
    fuzz_note(out, "\"battery\": {\"unit_voltage\": \"%d V\", \"series\": %d", bank[0], bank[1]);
    for (size_t i = 0; i < sizeof limits / sizeof limits[0]; i++) {
        if (fuzz_choose(input, 4) != 3)
            continue;
        fuzz_note(out, ", \"%s\": ", limits[i].key);
        fuzz_put_quantity(SW_DIM_VOLTAGE,
                          bank[0] / 12.0 * any_value(input, limits[i].least_v, limits[i].most_v), out);
    }
    char without[200];
    snprintf(without, sizeof without, "%sunit_voltage series absorption cut_out restart", costs);
    put_keys(input, &sw_battery_table, without, out);
    fuzz_note(out, "}");
}

static void put_part(fuzz_input *input, const char *name, const sw_table *table, const char *without,
                     fuzz_record *out)
{
    char all[200];
    snprintf(all, sizeof all, "%s%s", costs, without);
    fuzz_note(out, "%s{\"seat\": \"rear\"", name); // so that every other key follows a comma
    put_keys(input, table, all, out);
    fuzz_note(out, "}");
}

static void put_arrays(fuzz_input *input, fuzz_record *out)
{
    unsigned count = fuzz_choose(input, 4);
    if (count == 0)
        return;
    put_part(input, ", \"controller\": ", &sw_controller_table, "", out);
    for (unsigned i = 0; i < count; i++) {
        char name[40];
        snprintf(name, sizeof name, "%s \"array %u\": ", i == 0 ? ", \"arrays\": {" : ",", i);
        put_part(input, name, &sw_array_table, "", out);
    }
    fuzz_note(out, "}");
}

#define NOT_OF_CLOCKS "cold warm keeps heat airflow effectiveness"

// Thermostats come only to a van with a cabin.
static void put_load(fuzz_input *input, unsigned index, int has_cabin, fuzz_record *out)
{
    static const struct {
        const char *kind, *without;
    } kinds[] = {
        {"steady", "kind uses each at energy_per_day charge_per_day set_point reference reference_energy "
                   "power " NOT_OF_CLOCKS},
        {"use", "kind energy_per_day charge_per_day set_point reference reference_energy power each uses "
                "at " NOT_OF_CLOCKS},
        {"measured", "kind power duty uses each at charge_per_day set_point reference reference_energy "
                     "energy_per_day " NOT_OF_CLOCKS},
        {"fridge", "kind duty hours uses each at energy_per_day charge_per_day days when outside_above "
                   "outside_below cabin_above cabin_below power water drains_to fuel " NOT_OF_CLOCKS},
        {"heater",
         "kind duty uses each at energy_per_day charge_per_day set_point reference reference_energy power "
         "water drains_to cabin_above cabin_below cold warm airflow effectiveness heat keeps"},
        {"evaporative",
         "kind duty uses each at energy_per_day charge_per_day set_point reference reference_energy "
         "power water drains_to fuel cabin_above cabin_below cold warm heat airflow keeps"},
        {"aircon",
         "kind duty uses each at energy_per_day charge_per_day set_point reference reference_energy power "
         "water drains_to fuel cabin_above cabin_below cold warm airflow effectiveness heat keeps"},
        {"fan",
         "kind duty uses each at energy_per_day charge_per_day set_point reference reference_energy power "
         "water drains_to fuel cabin_above cabin_below cold warm effectiveness heat airflow keeps"}};
    unsigned kind = fuzz_choose(input, has_cabin ? 8 : 4);
    char name[100];
    snprintf(name, sizeof name, "%s\"load %u\": ", index > 0 ? ", " : "", index);
    fuzz_note(out, "%s{\"kind\": \"%s\"", name, kinds[kind].kind);
    if (kind == 2) {
        fuzz_note(out, ", \"energy_per_day\": ");
        fuzz_put_quantity(SW_DIM_ENERGY, any_value(input, 0, 1e6), out);
    } else {
        fuzz_note(out, ", \"power\": ");
        fuzz_put_quantity(SW_DIM_POWER, any_value(input, 0, 20000), out);
    }
    if (kind == 1) {
        fuzz_note(out, ", \"uses\": %u, \"each\": ", fuzz_choose(input, 30));
        fuzz_put_quantity(SW_DIM_TIME, any_value(input, 1, 2880), out);
    }
    if (kind > 3) {
        fuzz_note(out, ", \"keeps\": ");
        fuzz_put_quantity(SW_DIM_TEMPERATURE, any_value(input, -10, 45), out);
        fuzz_note(out, kind == 5 || kind == 7 ? ", \"airflow\": \"%u m3/h\"" : ", \"heat\": \"%u W\"",
                  10 + fuzz_choose(input, 4000));
    }
    char without[400];
    snprintf(without, sizeof without, "%s%s", costs, kinds[kind].without);
    put_keys(input, &sw_load_table, without, out);
    fuzz_note(out, "}");
}

// All of them, some of them, or none.
static void put_tanks(fuzz_input *input, int all, fuzz_record *out)
{
    unsigned fitted = all ? 31 : fuzz_choose(input, 32);
    fuzz_note(out, ", \"tanks\": {");
    const char *between = "";
    for (unsigned i = 0; i < SW_TANKS; i++) {
        char name[40];
        if ((fitted >> i & 1u) == 0)
            continue;
        snprintf(name, sizeof name, "%s\"%s\": ", between, sw_tanks_table.keys[i].name);
        put_part(input, name, &sw_tank_table, "", out);
        between = ", ";
    }
    fuzz_note(out, "}");
}

void fuzz_make_van(fuzz_input *input, const char *trip, fuzz_record *out)
{
    static const struct {
        const char *name, *without, *asked; // asked: by what a trip cannot do without it
        const sw_table *table;
    } parts[] = {{", \"alternator\": ", "", "engine_hours", &sw_alternator_table},
                 {", \"shore\": ", "", "generator_hours", &sw_shore_table},
                 {", \"inverter\": ", "cut_out restart", "-", &sw_inverter_table}};
    fuzz_note(out, "{\"format\": \"stillwatt van 1\", \"name\": \"made\", ");
    put_battery(input, out);
    put_arrays(input, out);
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
        if (fuzz_choose(input, 2) == 1 || strstr(trip, parts[i].asked) != NULL)
            put_part(input, parts[i].name, parts[i].table, parts[i].without, out);
    if (strstr(trip, "generator_hours") != NULL)
        put_part(input, ", \"generator\": ", &sw_generator_table, "", out);
    put_tanks(input, strstr(trip, "services") != NULL, out);
    int has_cabin = strstr(trip, "cabin_at_") == NULL && fuzz_choose(input, 2) == 1;
    if (has_cabin) {
        fuzz_note(out, ", \"cabin\": {\"covers\": \"no\"");
        put_keys(input, &sw_cabin_table, "covers", out);
        fuzz_note(out, "}");
    }
    put_keys(input, &sw_van_table, "name", out);
    fuzz_note(out, ",\n \"loads\": {");
    for (unsigned i = 0, count = fuzz_choose(input, 6); i < count; i++)
        put_load(input, i, has_cabin, out);
    fuzz_note(out, "}}\n");
}

// ---- trips ----

// Twelve months, each with its low below its high.
static void put_means(fuzz_input *input, fuzz_record *out)
{
    double low_c[12];
    for (int month = 0; month < 12; month++) {
        low_c[month] = any_value(input, -70, 50);
        fuzz_note(out, month == 0 ? ", \"low\": [" : ", ");
        fuzz_put_quantity(SW_DIM_TEMPERATURE, low_c[month], out);
    }
    for (int month = 0; month < 12; month++) {
        fuzz_note(out, month == 0 ? "], \"high\": [" : ", ");
        fuzz_put_quantity(SW_DIM_TEMPERATURE, any_value(input, fmax(low_c[month], -60), 60), out);
    }
    for (int month = 0; month < 12; month++) {
        fuzz_note(out, month == 0 ? "], \"daily_sun\": [" : ", ");
        fuzz_put_quantity(SW_DIM_IRRADIATION, any_value(input, 0, 12), out);
    }
    fuzz_note(out, "]");
}

typedef struct position {
    double lat_deg, lon_deg;
} position;

static const char *const zones[] = {"America/Denver",      "America/Los_Angeles", "Etc/UTC",
                                    "Australia/Lord_Howe", "Asia/Kathmandu",      "America/Anchorage"};

static position put_station(fuzz_input *input, fuzz_record *out)
{
    static const struct {
        const char *name;
        position at; // about, so that the other place can be put nearby
    } stations[] = {{"Moab UT", {38.6, -109.5}},
                    {"Astoria OR", {46.2, -123.9}},
                    {"Boise ID", {43.6, -116.2}},
                    {"Needles CA", {34.8, -114.6}}};
    unsigned chosen = fuzz_choose(input, 4);
    fuzz_note(out, "\"station\": \"%s\"", stations[chosen].name);
    return stations[chosen].at;
}

// Anywhere, or a few degrees from the other place, also across the poles' last degree and the date line.
static position put_position(fuzz_input *input, const position *near, fuzz_record *out)
{
    position at;
    if (near == NULL) {
        at.lat_deg = any_value(input, -90, 90);
        at.lon_deg = any_value(input, -180, 180);
    } else {
        at.lat_deg = fmax(-90, fmin(90, near->lat_deg + fuzz_between(input, -3, 3)));
        at.lon_deg = near->lon_deg + fuzz_between(input, -4, 4);
        at.lon_deg -= 360 * ((at.lon_deg > 180) - (at.lon_deg < -180));
    }
    fuzz_note(out, "\"latitude\": %.4f, \"longitude\": %.4f", at.lat_deg, at.lon_deg);
    fuzz_note(out, ", \"elevation\": \"%.0f m\"", any_value(input, -430, 6000));
    fuzz_note(out, ", \"zone\": \"%s\"", zones[fuzz_choose(input, sizeof zones / sizeof zones[0])]);
    return at;
}

static void put_normals(fuzz_input *input, fuzz_record *out)
{
    fuzz_note(out, ", \"normals\": {\"spread\": \"%.1f %%\"", any_value(input, 0, 40));
    put_keys(input, &sw_normals_table, "spread daily_sun low high", out);
    put_means(input, out);
    fuzz_note(out, "}");
}

// Near the stations of the table a position needs no means of its own.
static position put_place(fuzz_input *input, const char *name, const position *near, fuzz_record *out)
{
    fuzz_note(out, "\"%s\": {", name);
    unsigned kind = fuzz_choose(input, near == NULL ? 2 : 3);
    position at = kind == 0 ? put_station(input, out) : put_position(input, near, out);
    if (kind == 1)
        put_normals(input, out);
    put_keys(input, &sw_place_table, "station latitude longitude elevation zone", out);
    fuzz_note(out, "}");
    return at;
}

static void put_hookup(fuzz_input *input, fuzz_record *out)
{
    if (fuzz_choose(input, 2) == 0)
        return;
    fuzz_note(out, ", \"hookup\": {\"voltage\": \"120 V\"");
    put_keys(input, &sw_hookup_table, "voltage", out);
    fuzz_note(out, "}");
}

typedef struct first_day {
    int year, month, day; // so early in the month that all days of the trip are in it
} first_day;

static void put_moment(fuzz_input *input, const char *key, const first_day *first, int later,
                       fuzz_record *out)
{
    fuzz_note(out, ", \"%s\": \"%d-%02d-%02d ", key, first->year, first->month, first->day + later);
    put_clock(input, out);
    fuzz_note(out, "\"");
}

// As long as the road that the reader guesses, or as told.
static void put_drive(fuzz_input *input, const char *ends, const first_day *first, int later,
                      fuzz_record *out)
{
    fuzz_note(out, ", {\"drive\": [%s]", ends);
    if (fuzz_choose(input, 2) == 1)
        fuzz_note(out, ", \"distance\": \"%u km\"", 400 + 4 * fuzz_choose(input, 250));
    put_moment(input, "to", first, later, out);
    put_keys(input, &sw_leg_table, "from to distance heading", out);
    fuzz_note(out, "}");
}

static void put_stay(fuzz_input *input, const char *place, const first_day *first, int later,
                     fuzz_record *out)
{
    fuzz_note(out, "{\"stay\": \"%s\"", place);
    if (later == 1)
        put_moment(input, "from", first, 0, out);
    put_moment(input, "to", first, later, out);
    put_hookup(input, out);
    put_keys(input, &sw_leg_table, "from to distance idling", out);
    fuzz_note(out, "}");
}

// Two nights pass on the way to the other place: its clock may be 20 hours ahead of the first one's.
static void put_legs(fuzz_input *input, const first_day *first, fuzz_record *out)
{
    unsigned legs = fuzz_choose(input, 4);
    fuzz_note(out, " \"legs\": [");
    put_stay(input, "a", first, 1, out);
    if (legs > 0)
        put_drive(input, "\"a\", \"b\"", first, 3, out);
    if (legs > 1) {
        fuzz_note(out, ", ");
        put_stay(input, "b", first, 4, out);
    }
    if (legs > 2)
        put_drive(input, fuzz_choose(input, 2) == 0 ? "\"b\", \"a\"" : "\"b\", \"b\"", first, 5, out);
    fuzz_note(out, "]");
}

static void put_cloud(fuzz_input *input, fuzz_record *out)
{
    static const char *const clouds[] = {"clear", "few", "scattered", "broken", "overcast"};
    unsigned cloud = fuzz_choose(input, 6);
    if (cloud < 5)
        fuzz_note(out, "\"%s\"", clouds[cloud]);
    else
        fuzz_note(out, "%u", fuzz_choose(input, 9));
}

static void put_told_day(fuzz_input *input, fuzz_record *out)
{
    if (fuzz_choose(input, 2) == 0) {
        put_cloud(input, out);
        return;
    }
    fuzz_note(out, "{\"morning\": ");
    put_cloud(input, out);
    fuzz_note(out, ", \"afternoon\": ");
    put_cloud(input, out);
    fuzz_note(out, "}");
}

static void put_told(fuzz_input *input, const first_day *first, fuzz_record *out)
{
    fuzz_note(out, "\"otherwise\": ");
    put_cloud(input, out);
    fuzz_note(out, ", \"haze\": \"%.1f %%\", \"days\": {", any_value(input, 0, 90));
    const char *between = "";
    for (int later = 0; later < 6; later++) {
        if (fuzz_choose(input, 3) != 1)
            continue;
        fuzz_note(out, "%s\"%d-%02d-%02d\": ", between, first->year, first->month, first->day + later);
        put_told_day(input, out);
        between = ", ";
    }
    fuzz_note(out, "}");
}

static void put_sky(fuzz_input *input, const first_day *first, fuzz_record *out)
{
    unsigned kind = fuzz_choose(input, 4);
    if (kind == 1) {
        fuzz_note(out, ", \"sky\": {\"kind\": \"told\", ");
        put_told(input, first, out);
        fuzz_note(out, "}");
    } else if (kind > 1) {
        fuzz_note(out, ", \"sky\": {\"kind\": \"hourly\", \"file\": \"%s.epw\"}",
                  kind == 2 ? "typical" : "2004");
    }
}

// Few years have a weather file: 2004 comes more often than others.
static first_day choose_day(fuzz_input *input)
{
    unsigned year = fuzz_choose(input, 50);
    first_day first = {.year = year < 40 ? 1998 + (int)year : 2004};
    first.month = 1 + (int)fuzz_choose(input, 12);
    first.day = 1 + (int)fuzz_choose(input, 23);
    return first;
}

void fuzz_make_trip(fuzz_input *input, fuzz_record *out)
{
    fuzz_note(out, "{\"format\": \"stillwatt trip 1\", \"name\": \"made\", \"van\": \"van.json\"");
    put_keys(input, &sw_trip_table, "name", out);
    fuzz_note(out, ",\n \"places\": {");
    position a = put_place(input, "a", NULL, out);
    fuzz_note(out, ",\n  ");
    put_place(input, "b", &a, out);
    fuzz_note(out, "},\n");
    first_day first = choose_day(input);
    put_legs(input, &first, out);
    put_sky(input, &first, out);
    fuzz_note(out, "}\n");
}
