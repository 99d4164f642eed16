// Keys of the tables as properties of a schema. Ranges and words come from the rows; what hangs where, which
// only the readers know, stands in `places`.
#include "files/schema_parts.h"

#include "files/read_van.h"
#include "files/values.h"

#include "stillwatt/study.h"

#include <stdio.h>
#include <string.h>

// ---- what hangs where ----

typedef enum shape {
    FORMAT,  // what the file says it is
    SHARED,  // a shared definition
    OBJECT,  // of the table
    MAP,     // objects of the table by name
    LIST,    // a list of objects of the table
    FILES,   // a list of names of files
    SHARES,  // a list of shares
    PATCH,   // keys of some file that change, null for those that go
    IS_KIND, // a kind of part
    IS       // keys of the kind of part
} shape;

typedef struct place {
    const sw_table *in; // NULL: in every table that has the key
    const char *key;
    shape shape;
    sw_shared shared;
    const sw_table *table;
    int least, most; // members
} place;

static const place places[] = {
    {NULL, "format", FORMAT, 0, NULL, 0, 0},
    {NULL, "part", SHARED, SW_SHARED_FILE, NULL, 0, 0},
    {&sw_van_table, "vehicle", OBJECT, 0, &sw_vehicle_table, 0, 0},
    {&sw_van_table, "battery", OBJECT, 0, &sw_battery_table, 0, 0},
    {&sw_van_table, "arrays", MAP, 0, &sw_array_table, 0, SW_ARRAYS_MAX},
    {&sw_van_table, "controller", OBJECT, 0, &sw_controller_table, 0, 0},
    {&sw_van_table, "alternator", OBJECT, 0, &sw_alternator_table, 0, 0},
    {&sw_van_table, "shore", OBJECT, 0, &sw_shore_table, 0, 0},
    {&sw_van_table, "generator", OBJECT, 0, &sw_generator_table, 0, 0},
    {&sw_van_table, "starter", OBJECT, 0, &sw_starter_table, 0, 0},
    {&sw_van_table, "inverter", OBJECT, 0, &sw_inverter_table, 0, 0},
    {&sw_van_table, "loads", MAP, 0, &sw_load_table, 0, SW_LOADS_MAX},
    {&sw_van_table, "cabin", OBJECT, 0, &sw_cabin_table, 0, 0},
    {&sw_van_table, "tanks", OBJECT, 0, &sw_tanks_table, 0, 0},
    {&sw_tanks_table, "fresh", OBJECT, 0, &sw_tank_table, 0, 0},
    {&sw_tanks_table, "grey", OBJECT, 0, &sw_tank_table, 0, 0},
    {&sw_tanks_table, "toilet", OBJECT, 0, &sw_tank_table, 0, 0},
    {&sw_tanks_table, "fuel", OBJECT, 0, &sw_tank_table, 0, 0},
    {&sw_tanks_table, "can", OBJECT, 0, &sw_tank_table, 0, 0},
    {&sw_trip_table, "van", SHARED, SW_SHARED_FILE, NULL, 0, 0},
    {&sw_trip_table, "places", MAP, 0, &sw_place_table, 1, SW_PLACES_MAX},
    {&sw_trip_table, "legs", LIST, 0, &sw_leg_table, 1, SW_LEGS_MAX},
    {&sw_trip_table, "sky", OBJECT, 0, &sw_sky_table, 0, 0},
    {&sw_trip_table, "habits", MAP, 0, &sw_habit_table, 0, SW_LOADS_MAX},
    {&sw_place_table, "normals", OBJECT, 0, &sw_normals_table, 0, 0},
    {&sw_place_table, "skyline", LIST, 0, &sw_skyline_table, 1, SW_SKYLINE_MAX},
    {&sw_leg_table, "stay", SHARED, SW_SHARED_TEXT, NULL, 0, 0},
    {&sw_leg_table, "store", SHARED, SW_SHARED_TEXT, NULL, 0, 0},
    {&sw_leg_table, "drive", SHARED, SW_SHARED_TWO_PLACES, NULL, 0, 0},
    {&sw_leg_table, "hookup", OBJECT, 0, &sw_hookup_table, 0, 0},
    {&sw_leg_table, "shade", LIST, 0, &sw_shade_table, 1, SW_SHADES_MAX},
    {&sw_sky_table, "otherwise", SHARED, SW_SHARED_TOLD_DAY, NULL, 0, 0},
    {&sw_sky_table, "days", SHARED, SW_SHARED_TOLD_DAYS, NULL, 0, 0},
    {&sw_told_table, "morning", SHARED, SW_SHARED_CLOUD, NULL, 0, 0},
    {&sw_told_table, "afternoon", SHARED, SW_SHARED_CLOUD, NULL, 0, 0},
    {&sw_study_table, "trips", FILES, 0, NULL, 1, SW_TRIPS_MAX},
    {&sw_study_table, "choices", MAP, 0, &sw_choice_table, 1, SW_CHOICES_MAX - 1},
    {&sw_study_table, "skies", MAP, 0, &sw_sky_table, 0, SW_SKIES_MAX},
    {&sw_study_table, "start_charges", SHARES, 0, NULL, 1, SW_STARTS_MAX},
    {&sw_choice_table, "van", PATCH, 0, NULL, 0, 0},
    {&sw_choice_table, "trip", PATCH, 0, NULL, 0, 0},
    {&sw_part_table, "kind", IS_KIND, 0, NULL, 0, 0},
    {&sw_part_table, "is", IS, 0, NULL, 0, 0},
};

static const place *place_of(const sw_table *table, const char *key)
{
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++)
        if ((places[i].in == NULL || places[i].in == table) && strcmp(places[i].key, key) == 0)
            return &places[i];
    return NULL;
}

// ---- references ----

const char *const sw_schema_shared_names[SW_SHARED_COUNT] = {
    [SW_SHARED_TEXT] = "text",           [SW_SHARED_FILE] = "file",
    [SW_SHARED_HOURS] = "hours",         [SW_SHARED_TIMES] = "times",
    [SW_SHARED_MOMENT] = "moment",       [SW_SHARED_TWO_PLACES] = "two-places",
    [SW_SHARED_TOLD_DAYS] = "told-days", [SW_SHARED_TOLD_DAY] = "told-day-or-cloud",
    [SW_SHARED_CLOUD] = "cloud"};

/* "a solar controller" is "solar-controller". */
void sw_schema_name(const char *says, char *buffer, size_t size)
{
    const char *blank = strchr(says, ' ');
    int has_article = strncmp(says, "a ", 2) == 0 || strncmp(says, "an ", 3) == 0;
    snprintf(buffer, size, "%s", has_article ? blank + 1 : says);
    for (char *c = buffer; *c != '\0'; c++)
        if (*c < 'a' || *c > 'z')
            *c = '-';
}

static void refer(sw_schema *s, const char *name)
{
    char reference[80];
    snprintf(reference, sizeof reference, "#/$defs/%s", name);
    sw_json_text(&s->w, "$ref", reference);
}

void sw_schema_refer_shared(sw_schema *s, sw_shared which)
{
    s->shared |= 1u << which;
    refer(s, sw_schema_shared_names[which]);
}

void sw_schema_refer_table(sw_schema *s, const sw_table *table)
{
    char name[64];
    int i = 0;
    while (i < s->tables && s->table[i] != table)
        i++;
    if (i == SW_SCHEMA_TABLES_MAX)
        s->w.out.failed =
            1; // there is no room to define it later: better no schema than a reference to nothing
    else if (i == s->tables)
        s->table[s->tables++] = table;
    sw_schema_name(table->name, name, sizeof name);
    refer(s, name);
}

void sw_schema_refer_dimension(sw_schema *s, sw_dimension dimension)
{
    char name[64];
    s->dimensions |= 1u << dimension;
    sw_schema_name(sw_dimension_says(dimension), name, sizeof name);
    refer(s, name);
}

void sw_schema_require(sw_schema *s, const char *key)
{
    sw_json_begin_words(&s->w, "required");
    sw_json_word(&s->w, key);
    sw_json_end_words(&s->w);
}

// ---- keys by their kind ----

static void describe(sw_schema *s, const sw_key *key)
{
    char least[48], most[48];
    sw_json_begin_text(&s->w, "description");
    sw_json_piece(&s->w, key->says);
    if (key->kind == SW_KEY_QUANTITY || key->kind == SW_KEY_MONTHS) {
        sw_key_write(key, key->least, least, sizeof least);
        sw_key_write(key, key->most, most, sizeof most);
        const char *const pieces[] = {". Allowed: ", least, " to ", most};
        for (int i = 0; i < 4; i++)
            sw_json_piece(&s->w, pieces[i]);
    }
    if (key->need == SW_DEFAULTED && key->mark != NULL) {
        sw_json_piece(&s->w, ". The default is an assumption: ");
        sw_json_piece(&s->w, key->mark);
    }
    sw_json_end_text(&s->w);
}

static void default_words(sw_schema *s, const sw_key *key)
{
    unsigned bits = (unsigned)key->fallback;
    if (bits == 0)
        return; // none of the words: nothing that a file could say
    sw_json_begin_words(&s->w, "default");
    for (const sw_word *word = key->words; word->word != NULL; word++)
        if ((bits & (unsigned)word->value) != 0)
            sw_json_word(&s->w, word->word);
    sw_json_end_words(&s->w);
}

static void default_of(sw_schema *s, const sw_key *key)
{
    char text[48];
    if (key->need != SW_DEFAULTED)
        return;
    if (key->kind == SW_KEY_QUANTITY) {
        sw_key_write(key, key->fallback, text, sizeof text);
        sw_json_text(&s->w, "default", text);
    } else if (key->kind == SW_KEY_CHOICE) {
        sw_json_text(&s->w, "default", sw_key_word(key, (int)key->fallback));
    } else if (key->kind == SW_KEY_CHOICES) {
        default_words(s, key);
    } else {
        sw_json_number(&s->w, "default", key->fallback);
    }
}

/* An example with dots is shortened, and no JSON. */
static void example_of(sw_schema *s, const sw_key *key)
{
    if (strstr(key->example, "...") != NULL)
        return;
    sw_json_raw_list(&s->w, "examples", key->example);
}

static void words(sw_schema *s, const char *key, const sw_word *list)
{
    sw_json_begin_words(&s->w, key);
    for (; list->word != NULL; list++)
        sw_json_word(&s->w, list->word);
    sw_json_end_words(&s->w);
}

static void number(sw_schema *s, const sw_key *key)
{
    sw_json_text(&s->w, "type", key->kind == SW_KEY_COUNT ? "integer" : "number");
    sw_json_number(&s->w, "minimum", key->least);
    sw_json_number(&s->w, "maximum", key->most);
}

/* A word or a list of words. */
static void choices(sw_schema *s, const sw_key *key)
{
    sw_json_raw(&s->w, "type", "[\"string\", \"array\"]");
    sw_json_raw(&s->w, "if", "{\"type\": \"string\"}");
    sw_json_open(&s->w, "then", '{');
    words(s, "enum", key->words);
    sw_json_close(&s->w, '}');
    sw_json_open(&s->w, "else", '{');
    sw_json_number(&s->w, "minItems", 1);
    sw_json_open(&s->w, "items", '{');
    words(s, "enum", key->words);
    sw_json_close(&s->w, '}');
    sw_json_close(&s->w, '}');
}

static void months(sw_schema *s, const sw_key *key)
{
    sw_json_text(&s->w, "type", "array");
    sw_json_number(&s->w, "minItems", 12);
    sw_json_number(&s->w, "maxItems", 12);
    sw_json_open(&s->w, "items", '{');
    sw_schema_refer_dimension(s, key->dimension);
    sw_json_close(&s->w, '}');
}

static void map(sw_schema *s, const place *at)
{
    sw_json_text(&s->w, "type", "object");
    if (at->least > 0)
        sw_json_number(&s->w, "minProperties", at->least);
    sw_json_number(&s->w, "maxProperties", at->most);
    sw_json_open(&s->w, "propertyNames", '{');
    sw_schema_refer_shared(s, SW_SHARED_TEXT);
    sw_json_close(&s->w, '}');
    sw_json_open(&s->w, "additionalProperties", '{');
    sw_schema_refer_table(s, at->table);
    sw_json_close(&s->w, '}');
}

/* Only the first leg has no other before it to begin at. */
static void first_leg(sw_schema *s)
{
    sw_json_open(&s->w, "prefixItems", '[');
    sw_json_open(&s->w, NULL, '{');
    sw_schema_refer_table(s, &sw_leg_table);
    sw_schema_require(s, "from");
    sw_json_close(&s->w, '}');
    sw_json_close(&s->w, ']');
}

static void list(sw_schema *s, const place *at)
{
    sw_json_text(&s->w, "type", "array");
    sw_json_number(&s->w, "minItems", at->least);
    sw_json_number(&s->w, "maxItems", at->most);
    if (at->table == &sw_leg_table)
        first_leg(s);
    sw_json_open(&s->w, "items", '{');
    sw_schema_refer_table(s, at->table);
    sw_json_close(&s->w, '}');
}

static void values(sw_schema *s, const place *at)
{
    sw_json_text(&s->w, "type", "array");
    sw_json_number(&s->w, "minItems", at->least);
    sw_json_number(&s->w, "maxItems", at->most);
    sw_json_open(&s->w, "items", '{');
    if (at->shape == FILES)
        sw_schema_refer_shared(s, SW_SHARED_FILE);
    else
        sw_schema_refer_dimension(s, SW_DIM_RATIO);
    sw_json_close(&s->w, '}');
}

static void part_kinds(sw_schema *s)
{
    sw_json_begin_words(&s->w, "enum");
    for (int i = 0; i < SW_PART_KINDS; i++)
        sw_json_word(&s->w, sw_part_kinds[i].word);
    sw_json_end_words(&s->w);
}

static void structure(sw_schema *s, const place *at)
{
    switch (at->shape) {
    case FORMAT:
        sw_json_text(&s->w, "const", sw_file_formats[s->kind]);
        break;
    case SHARED:
        sw_schema_refer_shared(s, at->shared);
        break;
    case OBJECT:
        sw_schema_refer_table(s, at->table);
        break;
    case MAP:
        map(s, at);
        break;
    case LIST:
        list(s, at);
        break;
    case FILES:
    case SHARES:
        values(s, at);
        break;
    case IS_KIND:
        part_kinds(s);
        break;
    case PATCH:
    case IS:
        sw_json_text(&s->w, "type", "object");
        break;
    }
}

static void value_of(sw_schema *s, const sw_table *table, const sw_key *key)
{
    switch (key->kind) {
    case SW_KEY_QUANTITY:
        sw_schema_refer_dimension(s, key->dimension);
        break;
    case SW_KEY_NUMBER:
    case SW_KEY_COUNT:
        number(s, key);
        break;
    case SW_KEY_TEXT:
        sw_schema_refer_shared(s, SW_SHARED_TEXT);
        break;
    case SW_KEY_CHOICE:
        words(s, "enum", key->words);
        break;
    case SW_KEY_CHOICES:
        choices(s, key);
        break;
    case SW_KEY_WINDOWS:
        sw_schema_refer_shared(s, SW_SHARED_HOURS);
        break;
    case SW_KEY_TIMES:
        sw_schema_refer_shared(s, SW_SHARED_TIMES);
        break;
    case SW_KEY_LOCAL_TIME:
        sw_schema_refer_shared(s, SW_SHARED_MOMENT);
        break;
    case SW_KEY_MONTHS:
        months(s, key);
        break;
    case SW_KEY_OTHER:
        structure(s, place_of(table, key->name));
        break;
    }
}

/* A key that nobody says how to read is refused, which the tests notice. Where a habit is silent, the van
   file has the word, and no default. */
void sw_schema_property(sw_schema *s, const sw_table *table, const sw_key *key)
{
    if (key->kind == SW_KEY_OTHER && place_of(table, key->name) == NULL) {
        sw_json_raw(&s->w, key->name, "false");
        return;
    }
    sw_json_open(&s->w, key->name, '{');
    describe(s, key);
    value_of(s, table, key);
    if (table != &sw_habit_table)
        default_of(s, key);
    example_of(s, key);
    sw_json_close(&s->w, '}');
}
