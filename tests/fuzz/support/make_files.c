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
} units[] = {{SW_DIM_POWER, "W", 1},       {SW_DIM_ENERGY, "Wh", 1},        {SW_DIM_CHARGE, "Ah", 1},
             {SW_DIM_VOLTAGE, "V", 1},     {SW_DIM_CURRENT, "A", 1},        {SW_DIM_RESISTANCE, "ohm", 1},
             {SW_DIM_TEMPERATURE, "C", 1}, {SW_DIM_LENGTH, "m", 1},         {SW_DIM_AREA, "m2", 1},
             {SW_DIM_MASS, "kg", 1},       {SW_DIM_TIME, "s", 1},           {SW_DIM_ANGLE, "deg", 1},
             {SW_DIM_RATIO, "%", 100},     {SW_DIM_PER_KELVIN, "%/K", 100}, {SW_DIM_IRRADIATION, "kWh/m2", 1},
             {SW_DIM_MONEY, "USD", 1},     {SW_DIM_APPARENT_POWER, "VA", 1}};

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

static void put_load(fuzz_input *input, unsigned index, fuzz_record *out)
{
    static const struct {
        const char *kind, *without;
    } kinds[] = {
        {"steady",
         "kind uses each at energy_per_day charge_per_day set_point reference reference_energy power"},
        {"use", "kind energy_per_day charge_per_day set_point reference reference_energy power each uses at"},
        {"measured", "kind power duty uses each at charge_per_day set_point reference reference_energy "
                     "energy_per_day"},
        {"fridge", "kind duty hours uses each at energy_per_day charge_per_day days when outside_above "
                   "outside_below cabin_above cabin_below power"}};
    unsigned kind = fuzz_choose(input, 4);
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
    char without[300];
    snprintf(without, sizeof without, "%s%s", costs, kinds[kind].without);
    put_keys(input, &sw_load_table, without, out);
    fuzz_note(out, "}");
}

void fuzz_make_van(fuzz_input *input, fuzz_record *out)
{
    static const struct {
        const char *name, *without;
        const sw_table *table;
    } parts[] = {{", \"alternator\": ", "", &sw_alternator_table},
                 {", \"shore\": ", "", &sw_shore_table},
                 {", \"inverter\": ", "cut_out restart", &sw_inverter_table}};
    fuzz_note(out, "{\"format\": \"stillwatt van 1\", \"name\": \"made\", ");
    put_battery(input, out);
    put_arrays(input, out);
    for (size_t i = 0; i < sizeof parts / sizeof parts[0]; i++)
        if (fuzz_choose(input, 2) == 1)
            put_part(input, parts[i].name, parts[i].table, parts[i].without, out);
    put_keys(input, &sw_van_table, "name", out);
    fuzz_note(out, ",\n \"loads\": {");
    for (unsigned i = 0, count = fuzz_choose(input, 6); i < count; i++)
        put_load(input, i, out);
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

static void put_place(fuzz_input *input, const char *name, fuzz_record *out)
{
    static const char *const stations[] = {"Moab UT", "Astoria OR", "Boise ID", "Needles CA"};
    static const char *const zones[] = {"America/Denver", "Etc/UTC", "Australia/Lord_Howe", "Asia/Kathmandu",
                                        "America/Anchorage"};
    if (fuzz_choose(input, 2) == 0) {
        fuzz_note(out, "\"%s\": {\"station\": \"%s\"", name, stations[fuzz_choose(input, 4)]);
        put_keys(input, &sw_place_table, "station latitude longitude elevation zone", out);
    } else {
        fuzz_note(out, "\"%s\": {\"latitude\": %.4f", name, any_value(input, -90, 90));
        fuzz_note(out, ", \"longitude\": %.4f", any_value(input, -180, 180));
        fuzz_note(out, ", \"elevation\": \"%.0f m\"", any_value(input, -430, 6000));
        fuzz_note(out, ", \"zone\": \"%s\"", zones[fuzz_choose(input, 5)]);
        fuzz_note(out, ", \"normals\": {\"spread\": \"%.1f %%\"", any_value(input, 0, 40));
        put_keys(input, &sw_normals_table, "spread daily_sun low high", out);
        put_means(input, out);
        fuzz_note(out, "}");
        put_keys(input, &sw_place_table, "station latitude longitude elevation zone", out);
    }
    fuzz_note(out, "}");
}

static void put_hookup(fuzz_input *input, fuzz_record *out)
{
    if (fuzz_choose(input, 2) == 0)
        return;
    fuzz_note(out, ", \"hookup\": {\"voltage\": \"120 V\"");
    put_keys(input, &sw_hookup_table, "voltage", out);
    fuzz_note(out, "}");
}

static void put_legs(fuzz_input *input, fuzz_record *out)
{
    int year = 1998 + (int)fuzz_choose(input, 40), month = 1 + (int)fuzz_choose(input, 12);
    int day = 1 + (int)fuzz_choose(input, 25), hour = (int)fuzz_choose(input, 24);
    unsigned legs = fuzz_choose(input, 3);
    fuzz_note(out, " \"legs\": [{\"stay\": \"a\", \"from\": \"%d-%02d-%02d %02d:%02u\"", year, month, day,
              hour, fuzz_choose(input, 60));
    fuzz_note(out, ", \"to\": \"%d-%02d-%02d ", year, month, day + 1);
    put_clock(input, out);
    fuzz_note(out, "\"");
    put_hookup(input, out);
    put_keys(input, &sw_leg_table, "from to distance idling", out);
    if (legs > 0) {
        fuzz_note(out, "}, {\"drive\": [\"a\", \"a\"], \"distance\": \"%u km\"", 1 + fuzz_choose(input, 250));
        fuzz_note(out, ", \"to\": \"%d-%02d-%02d 03:00\"", year, month, day + 2);
        put_keys(input, &sw_leg_table, "from to distance heading", out);
    }
    if (legs > 1) {
        fuzz_note(out, "}, {\"stay\": \"a\", \"to\": \"%d-%02d-%02d 21:10\"", year, month, day + 2);
        put_hookup(input, out);
    }
    fuzz_note(out, "}]");
}

static void put_sky(fuzz_input *input, fuzz_record *out)
{
    static const char *const clouds[] = {"clear", "few", "scattered", "broken", "overcast"};
    unsigned kind = fuzz_choose(input, 4);
    if (kind == 1) {
        const char *cloud = clouds[fuzz_choose(input, 5)];
        double haze_pct = any_value(input, 0, 90);
        fuzz_note(out, ", \"sky\": {\"kind\": \"told\", \"otherwise\": \"%s\", \"haze\": \"%.1f %%\"}", cloud,
                  haze_pct);
    } else if (kind > 1) {
        fuzz_note(out, ", \"sky\": {\"kind\": \"hourly\", \"file\": \"%s.epw\"}",
                  kind == 2 ? "typical" : "2004");
    }
}

void fuzz_make_trip(fuzz_input *input, fuzz_record *out)
{
    fuzz_note(out, "{\"format\": \"stillwatt trip 1\", \"name\": \"made\", \"van\": \"van.json\"");
    put_keys(input, &sw_trip_table, "name", out);
    fuzz_note(out, ",\n \"places\": {");
    put_place(input, "a", out);
    fuzz_note(out, "},\n");
    put_legs(input, out);
    put_sky(input, out);
    fuzz_note(out, "}\n");
}
