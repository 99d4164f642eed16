// JSON Schemas of the files, written from the key tables.
#include "stillwatt/schema.h"

#include "files/schema_parts.h"
#include "files/schema_patterns.h"

#include "files/read_van.h"

#include <string.h>

static const sw_table *const roots[SW_FILE_KIND_COUNT] = {&sw_van_table, &sw_trip_table, &sw_part_table,
                                                          &sw_study_table};

// ---- definitions ----

/* A text or a list of texts of one pattern. */
static void texts(sw_schema *s, const char *says, const char *pattern, int most)
{
    sw_json_text(&s->w, "description", says);
    sw_json_raw(&s->w, "type", "[\"string\", \"array\"]");
    sw_json_text(&s->w, "pattern", pattern);
    sw_json_number(&s->w, "minItems", 1);
    sw_json_number(&s->w, "maxItems", most);
    sw_json_open(&s->w, "items", '{');
    sw_json_text(&s->w, "type", "string");
    sw_json_text(&s->w, "pattern", pattern);
    sw_json_close(&s->w, '}');
}

static void text_of(sw_schema *s, const char *says, const char *pattern)
{
    sw_json_text(&s->w, "description", says);
    sw_json_text(&s->w, "type", "string");
    sw_json_text(&s->w, "pattern", pattern);
}

static void two_names(sw_schema *s)
{
    sw_json_text(&s->w, "description", "the names of two of the places");
    sw_json_text(&s->w, "type", "array");
    sw_json_number(&s->w, "minItems", 2);
    sw_json_number(&s->w, "maxItems", 2);
    sw_json_open(&s->w, "items", '{');
    sw_schema_refer_shared(s, SW_SHARED_TEXT);
    sw_json_close(&s->w, '}');
}

static void told_days(sw_schema *s)
{
    sw_json_text(&s->w, "description", "cloud by date, year-month-day");
    sw_json_text(&s->w, "type", "object");
    sw_json_open(&s->w, "propertyNames", '{');
    sw_json_text(&s->w, "pattern", SW_PATTERN_DATE);
    sw_json_close(&s->w, '}');
    sw_json_open(&s->w, "additionalProperties", '{');
    sw_schema_refer_shared(s, SW_SHARED_TOLD_DAY);
    sw_json_close(&s->w, '}');
}

static void told_day(sw_schema *s)
{
    sw_json_text(&s->w, "description", "one cloud for the day, or a cloud for each half of it");
    sw_json_raw(&s->w, "if", "{\"type\": \"object\"}");
    sw_json_open(&s->w, "then", '{');
    sw_schema_refer_table(s, &sw_told_table);
    sw_json_close(&s->w, '}');
    sw_json_open(&s->w, "else", '{');
    sw_schema_refer_shared(s, SW_SHARED_CLOUD);
    sw_json_close(&s->w, '}');
}

static void cloud(sw_schema *s)
{
    sw_json_text(&s->w, "description", "how much of the sky is covered: a word, or eighths from 0 to 8");
    sw_json_raw(&s->w, "type", "[\"string\", \"number\"]");
    sw_json_number(&s->w, "minimum", 0);
    sw_json_number(&s->w, "maximum", 8);
    sw_json_raw(&s->w, "if", "{\"type\": \"string\"}");
    sw_json_open(&s->w, "then", '{');
    sw_json_begin_words(&s->w, "enum");
    for (int i = 0; i < SW_CLOUD_WORDS; i++)
        sw_json_word(&s->w, sw_cloud_words[i].word);
    sw_json_end_words(&s->w);
    sw_json_close(&s->w, '}');
}

static void define_shared(sw_schema *s, sw_shared which)
{
    sw_json_open(&s->w, sw_schema_shared_names[which], '{');
    switch (which) {
    case SW_SHARED_TEXT:
        text_of(s, "a text on one line", SW_PATTERN_PLAIN_TEXT);
        break;
    case SW_SHARED_FILE:
        sw_json_text(&s->w, "description", "the name of a file");
        sw_json_text(&s->w, "type", "string");
        sw_json_number(&s->w, "minLength", 1);
        break;
    case SW_SHARED_HOURS:
        texts(s, "a stretch of hours, two digits each, or a list of them; 24:00 ends a day",
              SW_PATTERN_STRETCH, SW_WINDOWS_MAX);
        break;
    case SW_SHARED_TIMES:
        texts(s, "a clock time, 00:00 to 23:59, or a list of them", SW_PATTERN_TIME, SW_TIMES_MAX);
        break;
    case SW_SHARED_MOMENT:
        text_of(s, "a local date and time, year-month-day hour:minute, 1900 to 2099", SW_PATTERN_MOMENT);
        break;
    case SW_SHARED_TWO_PLACES:
        two_names(s);
        break;
    case SW_SHARED_TOLD_DAYS:
        told_days(s);
        break;
    case SW_SHARED_TOLD_DAY:
        told_day(s);
        break;
    case SW_SHARED_CLOUD:
        cloud(s);
        break;
    case SW_SHARED_COUNT:
        break;
    }
    sw_json_close(&s->w, '}');
}

static void define_dimension(sw_schema *s, sw_dimension dimension)
{
    char name[64];
    sw_schema_name(sw_dimension_says(dimension), name, sizeof name);
    sw_json_open(&s->w, name, '{');
    sw_json_begin_text(&s->w, "description");
    const char *const pieces[] = {sw_dimension_says(dimension),
                                  ", a number with its unit in quotes: ", sw_dimension_units(dimension)};
    for (int i = 0; i < 3; i++)
        sw_json_piece(&s->w, pieces[i]);
    sw_json_end_text(&s->w);
    sw_json_text(&s->w, "type", "string");
    sw_pattern_quantity(&s->w, dimension);
    sw_json_close(&s->w, '}');
}

static void object_of(sw_schema *s, const sw_table *table)
{
    sw_json_text(&s->w, "type", "object");
    sw_json_open(&s->w, "properties", '{');
    for (size_t i = 0; i < table->count; i++)
        if (!sw_schema_is_of_part(s, table) || strcmp(table->keys[i].name, "part") != 0)
            sw_schema_property(s, table, &table->keys[i]);
    sw_json_close(&s->w, '}');
    sw_json_raw(&s->w, "additionalProperties", "false");
    sw_schema_rules(s, table);
}

static void define_table(sw_schema *s, const sw_table *table)
{
    char name[64];
    sw_schema_name(table->name, name, sizeof name);
    sw_json_open(&s->w, name, '{');
    sw_json_text(&s->w, "description", table->name);
    object_of(s, table);
    sw_json_close(&s->w, '}');
}

/* Definitions refer to others, until nothing new is referred to; dimensions refer to nothing. */
static void definitions(sw_schema *s)
{
    int tables = 0;
    unsigned shared = 0;
    while (tables < s->tables || shared != s->shared) {
        if (tables < s->tables) {
            define_table(s, s->table[tables++]);
            continue;
        }
        int which = 0;
        while ((s->shared & ~shared & 1u << which) == 0)
            which++;
        shared |= 1u << which;
        define_shared(s, (sw_shared)which);
    }
    for (int i = 0; i < SW_DIM_COUNT; i++)
        if ((s->dimensions & 1u << i) != 0)
            define_dimension(s, (sw_dimension)i);
}

// ---- files ----

static const struct {
    const char *id, *title, *file;
} files[SW_FILE_KIND_COUNT] = {
    [SW_FILE_VAN] = {"urn:stillwatt:schema:van:1", "Stillwatt van file", "van.schema.json"},
    [SW_FILE_TRIP] = {"urn:stillwatt:schema:trip:1", "Stillwatt trip file", "trip.schema.json"},
    [SW_FILE_PART] = {"urn:stillwatt:schema:part:1", "Stillwatt part file", "part.schema.json"},
    [SW_FILE_STUDY] = {"urn:stillwatt:schema:study:1", "Stillwatt study file", "study.schema.json"},
};

const char *sw_schema_file(sw_file_kind kind)
{
    return files[kind].file;
}

sw_status sw_schema_text(sw_file_kind kind, char **out)
{
    sw_schema s = {.kind = kind};
    sw_json_open(&s.w, NULL, '{');
    sw_json_text(&s.w, "$schema", "https://json-schema.org/draft/2020-12/schema");
    sw_json_text(&s.w, "$id", files[kind].id);
    sw_json_text(&s.w, "title", files[kind].title);
    sw_json_text(
        &s.w, "description",
        "The file is JSON with comments (// and /* */); this describes the JSON that is left when they "
        "are blanked. The least and the most of a quantity stand in the description of its key, "
        "because a schema cannot compare texts: `stillwatt check FILE` does, and tells what does not "
        "go together.");
    object_of(&s, roots[kind]);
    sw_json_open(&s.w, "$defs", '{');
    definitions(&s);
    sw_json_close(&s.w, '}');
    sw_json_close(&s.w, '}');
    return sw_json_take(&s.w, out);
}
