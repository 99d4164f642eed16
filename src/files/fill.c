// Fills structs by key tables. One reader per kind of key; everything else is the table's.
#include "files/fill.h"

#include "stillwatt/civil.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#define WORDS_MAX 24

void sw_reader_no_memory(sw_reader *reader)
{
    reader->failed = 1;
    sw_error(reader->messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory to read the files");
}

void sw_reader_error(sw_reader *reader, const sw_node *node, int at_key, const char *hint, const char *what,
                     ...)
{
    char text[512];
    va_list arguments;
    va_start(arguments, what);
    vsnprintf(text, sizeof text, what, arguments);
    va_end(arguments);
    reader->failed = 1;
    if (node != NULL)
        sw_node_error(reader->messages, node, at_key, hint, "%s", text);
    else
        sw_error(reader->messages, SW_BAD_INPUT, NULL, hint, "%s", text);
}

const char *sw_reader_text(sw_reader *reader, const char *format, ...)
{
    char text[1024];
    va_list arguments;
    va_start(arguments, format);
    vsnprintf(text, sizeof text, format, arguments);
    va_end(arguments);
    const char *copy = sw_arena_text(reader->arena, text);
    if (copy == NULL)
        sw_reader_no_memory(reader);
    return copy;
}

// ---- assumptions ----

static sw_assumption *new_assumption(sw_reader *reader)
{
    if (reader->assumptions == reader->assumption_room) {
        int room = reader->assumption_room == 0 ? 32 : 2 * reader->assumption_room;
        sw_assumption *grown = sw_arena_alloc(reader->arena, (size_t)room * sizeof *grown);
        if (grown == NULL)
            return NULL;
        if (reader->assumptions > 0)
            memcpy(grown, reader->assumption, (size_t)reader->assumptions * sizeof *grown);
        reader->assumption = grown;
        reader->assumption_room = room;
    }
    return &reader->assumption[reader->assumptions++];
}

static void assume(sw_reader *reader, const char *path, const char *key, sw_assumption assumed)
{
    assumed.path = sw_reader_text(reader, "%s/%s", path, key);
    assumed.value = sw_arena_text(reader->arena, assumed.value);
    sw_assumption *assumption = new_assumption(reader);
    if (assumed.path == NULL || assumed.value == NULL || assumption == NULL)
        sw_reader_no_memory(reader);
    else
        *assumption = assumed;
}

void sw_assume(sw_reader *reader, const char *path, const char *key, const char *says, const char *mark,
               double *at, sw_dimension dimension, double low, double high)
{
    char value[48];
    sw_quantity_write(*at, dimension, SW_UNITS_SI, value, sizeof value);
    assume(reader, path, key, (sw_assumption){NULL, says, value, mark, low, high, at, dimension});
}

void sw_assume_word(sw_reader *reader, const char *path, const char *key, const char *says, const char *mark,
                    const char *word)
{
    assume(reader, path, key, (sw_assumption){.says = says, .value = word, .mark = mark});
}

// ---- single values ----

static const char *json_type_says(sw_json_type type)
{
    static const char *const says[] = {"null",   "true or false", "a number",
                                       "a text", "a list",        "keys in braces"};
    return says[type];
}

static const char *hint_of(sw_reader *reader, const sw_key *key)
{
    return sw_reader_text(reader, "for example \"%s\": %s", key->name, key->example);
}

/* "a power is expected" and so on, with what was found */
static void wrong_type(sw_reader *reader, const sw_key *key, const sw_node *node, const char *expected)
{
    sw_reader_error(reader, node, 0, hint_of(reader, key), "%s is expected here (%s), not %s", expected,
                    key->says, json_type_says(node->type));
}

static void out_of_range(sw_reader *reader, const sw_key *key, const sw_node *node)
{
    char least[48], most[48];
    if (key->kind == SW_KEY_QUANTITY || key->kind == SW_KEY_MONTHS) {
        sw_quantity_write(key->least, key->dimension, SW_UNITS_SI, least, sizeof least);
        sw_quantity_write(key->most, key->dimension, SW_UNITS_SI, most, sizeof most);
    } else {
        snprintf(least, sizeof least, "%g", key->least);
        snprintf(most, sizeof most, "%g", key->most);
    }
    if (node->type == SW_JSON_STRING)
        sw_reader_error(reader, node, 0, hint_of(reader, key), "\"%s\" must lie between %s and %s (%s)",
                        node->text, least, most, key->says);
    else
        sw_reader_error(reader, node, 0, hint_of(reader, key), "%g must lie between %s and %s (%s)",
                        node->number, least, most, key->says);
}

static void wrong_quantity(sw_reader *reader, const sw_key *key, const sw_node *node,
                           sw_quantity_result result, const sw_quantity *found)
{
    const char *wanted = sw_dimension_says(key->dimension);
    const char *units = sw_dimension_units(key->dimension);
    switch (result) {
    case SW_QUANTITY_NO_NUMBER:
        sw_reader_error(reader, node, 0, hint_of(reader, key),
                        "\"%s\" does not begin with a number; %s is expected (%s)", node->text, wanted,
                        key->says);
        break;
    case SW_QUANTITY_NO_UNIT:
        sw_reader_error(reader, node, 0, hint_of(reader, key), "\"%s\" has no unit; %s is expected, in %s",
                        node->text, wanted, units);
        break;
    case SW_QUANTITY_UNKNOWN_UNIT:
        if (found->suggestion != NULL)
            sw_reader_error(reader, node, 0, hint_of(reader, key),
                            "the unit \"%s\" is not known; did you mean \"%s\"?", found->unit,
                            found->suggestion);
        else
            sw_reader_error(reader, node, 0, hint_of(reader, key),
                            "the unit \"%s\" is not known; %s is expected, in %s", found->unit, wanted,
                            units);
        break;
    case SW_QUANTITY_WRONG_DIMENSION:
        sw_reader_error(reader, node, 0, hint_of(reader, key), "\"%s\" is %s, but %s is expected (%s)",
                        node->text, sw_dimension_says(found->found), wanted, key->says);
        break;
    default:
        sw_reader_error(reader, node, 0, hint_of(reader, key), "\"%s\" is too large a number", node->text);
        break;
    }
}

/* All prices of a van are in one currency. */
static void note_currency(sw_reader *reader, const sw_node *node, const char *code)
{
    if (reader->currency[0] == '\0')
        snprintf(reader->currency, sizeof reader->currency, "%.3s", code);
    else if (strncmp(reader->currency, code, 3) != 0)
        sw_reader_error(reader, node, 0, "give all prices in one currency",
                        "this price is in %s, others are in %s", code, reader->currency);
}

static int read_quantity(sw_reader *reader, const sw_key *key, const sw_node *node, double *out)
{
    if (node->type == SW_JSON_NUMBER) {
        sw_reader_error(reader, node, 0, hint_of(reader, key),
                        "a number alone has no unit; %s is expected, in quotes, in %s",
                        sw_dimension_says(key->dimension), sw_dimension_units(key->dimension));
        return 0;
    }
    if (node->type != SW_JSON_STRING) {
        wrong_type(reader, key, node, sw_dimension_says(key->dimension));
        return 0;
    }
    sw_quantity quantity;
    sw_quantity_result result = sw_quantity_read(node->text, key->dimension, &quantity);
    if (result != SW_QUANTITY_OK) {
        wrong_quantity(reader, key, node, result, &quantity);
        return 0;
    }
    if (!(quantity.value >= key->least && quantity.value <= key->most)) {
        out_of_range(reader, key, node);
        return 0;
    }
    if (key->dimension == SW_DIM_MONEY)
        note_currency(reader, node, quantity.unit);
    *out = quantity.value;
    return 1;
}

static int read_number(sw_reader *reader, const sw_key *key, const sw_node *node, double *out)
{
    if (node->type != SW_JSON_NUMBER) {
        wrong_type(reader, key, node, "a number without quotes");
        return 0;
    }
    if (!(node->number >= key->least && node->number <= key->most)) {
        out_of_range(reader, key, node);
        return 0;
    }
    *out = node->number;
    return 1;
}

static void read_count(sw_reader *reader, const sw_key *key, const sw_node *node, int *out)
{
    double number;
    if (!read_number(reader, key, node, &number))
        return;
    if (number != floor(number))
        sw_reader_error(reader, node, 0, hint_of(reader, key), "a whole number is expected (%s)", key->says);
    else
        *out = (int)number;
}

static const char *list_words(sw_reader *reader, const sw_key *key)
{
    char list[256] = "";
    size_t used = 0;
    for (const sw_word *word = key->words; word->word != NULL && used < sizeof list; word++)
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", used > 0 ? ", " : "", word->word);
    return sw_reader_text(reader, "%s", list);
}

static const char *word_of(const sw_key *key, int value)
{
    const sw_word *word = key->words;
    while (word->word != NULL && word->value != value)
        word++;
    return word->word != NULL ? word->word : "";
}

static int read_word(sw_reader *reader, const sw_key *key, const sw_node *node, int *out)
{
    if (node->type != SW_JSON_STRING) {
        wrong_type(reader, key, node, sw_reader_text(reader, "one of %s", list_words(reader, key)));
        return 0;
    }
    const char *known[WORDS_MAX];
    size_t count = 0;
    for (const sw_word *word = key->words; word->word != NULL; word++) {
        if (strcmp(word->word, node->text) == 0) {
            *out = word->value;
            return 1;
        }
        known[count++] = word->word;
    }
    const char *nearest = sw_nearest_word(node->text, known, count);
    if (nearest != NULL)
        sw_reader_error(reader, node, 0, hint_of(reader, key),
                        "\"%s\" is not one of %s; did you mean \"%s\"?", node->text, list_words(reader, key),
                        nearest);
    else
        sw_reader_error(reader, node, 0, hint_of(reader, key), "\"%s\" is not one of %s", node->text,
                        list_words(reader, key));
    return 0;
}

static void read_choices(sw_reader *reader, const sw_key *key, const sw_node *node, unsigned *out)
{
    unsigned bits = 0;
    int bit;
    if (node->type != SW_JSON_ARRAY) {
        if (read_word(reader, key, node, &bit))
            *out = (unsigned)bit;
        return;
    }
    for (const sw_node *item = node->first; item != NULL; item = item->next)
        if (read_word(reader, key, item, &bit))
            bits |= (unsigned)bit;
    if (node->first == NULL)
        sw_reader_error(reader, node, 0, hint_of(reader, key), "the list is empty (%s)", key->says);
    *out = bits;
}

static void read_text(sw_reader *reader, const sw_key *key, const sw_node *node, const char **out)
{
    if (node->type != SW_JSON_STRING)
        wrong_type(reader, key, node, "a text");
    else if (node->text[0] == '\0')
        sw_reader_error(reader, node, 0, hint_of(reader, key), "this text is empty (%s)", key->says);
    else if ((*out = sw_arena_text(reader->arena, node->text)) == NULL)
        sw_reader_no_memory(reader);
}

static void read_local_time(sw_reader *reader, const sw_key *key, const sw_node *node, int64_t *out)
{
    sw_civil civil;
    int has_time;
    if (node->type != SW_JSON_STRING) {
        wrong_type(reader, key, node, "a local date and time");
        return;
    }
    if (!sw_civil_parse(node->text, &civil, &has_time)) {
        sw_reader_error(reader, node, 0, hint_of(reader, key),
                        "\"%s\" is not a date and time that exists (year-month-day hour:minute)", node->text);
        return;
    }
    if (!has_time) {
        sw_reader_error(reader, node, 0, hint_of(reader, key), "\"%s\" has no clock time", node->text);
        return;
    }
    if (civil.year < 1900 || civil.year > 2099) {
        sw_reader_error(reader, node, 0, hint_of(reader, key), "the year must lie between 1900 and 2099");
        return;
    }
    *out = sw_days_from_civil(civil.year, civil.month, civil.day) * 86400 + civil.hour * 3600 +
           civil.minute * 60 + civil.second;
}

// ---- lists ----

/* A key that takes one item or a list of them: the first item, and the count. */
static const sw_node *items_of(const sw_node *node)
{
    return node->type == SW_JSON_ARRAY ? node->first : node;
}

static const sw_node *next_item(const sw_node *node, const sw_node *item)
{
    return node->type == SW_JSON_ARRAY ? item->next : NULL;
}

int sw_clock_parse(const char *text, int end)
{
    int hour = 0, minute = 0;
    for (int i = 0; i < 5; i++) {
        if (i == 2) {
            if (text[i] != ':')
                return -1;
        } else if (text[i] < '0' || text[i] > '9') {
            return -1;
        }
    }
    hour = (text[0] - '0') * 10 + (text[1] - '0');
    minute = (text[3] - '0') * 10 + (text[4] - '0');
    if (text[5] != '\0' || minute > 59 || hour > 24 || (hour == 24 && (minute > 0 || !end)))
        return -1;
    return hour * 60 + minute;
}

int sw_window_parse(const char *text, int *from_min, int *to_min)
{
    char from[6] = "";
    if (strlen(text) != 11 || text[5] != '-')
        return 0;
    memcpy(from, text, 5);
    *from_min = sw_clock_parse(from, 0);
    *to_min = sw_clock_parse(text + 6, 1);
    if (*from_min < 0 || *to_min < 0 || *from_min == *to_min)
        return 0;
    if (*to_min < *from_min)
        *to_min += 1440;
    return 1;
}

/* Hours that count twice would count their power twice. A stretch over midnight goes on in the morning. */
static int overlaps(const sw_windows *windows, int from, int to)
{
    for (int i = 0; i < windows->count; i++)
        for (int shift = -1440; shift <= 1440; shift += 1440)
            if (from + shift < windows->to_min[i] && windows->from_min[i] < to + shift)
                return 1;
    return 0;
}

static void read_windows(sw_reader *reader, const sw_key *key, const sw_node *node, const sw_windows **out)
{
    sw_windows *windows = sw_arena_alloc(reader->arena, sizeof *windows);
    if (windows == NULL) {
        sw_reader_no_memory(reader);
        return;
    }
    for (const sw_node *item = items_of(node); item != NULL; item = next_item(node, item)) {
        int from, to;
        if (item->type != SW_JSON_STRING) {
            wrong_type(reader, key, item, "a stretch of hours");
        } else if (!sw_window_parse(item->text, &from, &to)) {
            sw_reader_error(
                reader, item, 0, hint_of(reader, key),
                "\"%s\" is not a stretch of hours (two digits each, begin and end apart, 24:00 ends a day)",
                item->text);
        } else if (windows->count == SW_WINDOWS_MAX) {
            sw_reader_error(reader, item, 0, "join some of them",
                            "at most %d stretches of hours are possible", SW_WINDOWS_MAX);
            return;
        } else if (overlaps(windows, from, to)) {
            sw_reader_error(reader, item, 0, "join the two, or part them",
                            "\"%s\" overlaps another stretch of hours in this list", item->text);
        } else {
            windows->from_min[windows->count] = from;
            windows->to_min[windows->count++] = to;
        }
    }
    if (node->type == SW_JSON_ARRAY && node->first == NULL)
        sw_reader_error(reader, node, 0, hint_of(reader, key), "the list is empty (%s)", key->says);
    *out = windows;
}

static void read_times(sw_reader *reader, const sw_key *key, const sw_node *node, const sw_times **out)
{
    sw_times *times = sw_arena_alloc(reader->arena, sizeof *times);
    if (times == NULL) {
        sw_reader_no_memory(reader);
        return;
    }
    for (const sw_node *item = items_of(node); item != NULL; item = next_item(node, item)) {
        int at = item->type == SW_JSON_STRING ? sw_clock_parse(item->text, 0) : -1;
        if (item->type != SW_JSON_STRING) {
            wrong_type(reader, key, item, "a clock time");
        } else if (at < 0) {
            sw_reader_error(reader, item, 0, hint_of(reader, key),
                            "\"%s\" is not a clock time (two digits each, 00:00 to 23:59)", item->text);
        } else if (times->count == SW_TIMES_MAX) {
            sw_reader_error(reader, item, 0, "give \"uses\" and \"hours\" instead",
                            "at most %d times are possible", SW_TIMES_MAX);
            return;
        } else {
            times->at_min[times->count++] = at;
        }
    }
    if (node->type == SW_JSON_ARRAY && node->first == NULL)
        sw_reader_error(reader, node, 0, hint_of(reader, key), "the list is empty (%s)", key->says);
    *out = times;
}

static void read_months(sw_reader *reader, const sw_key *key, const sw_node *node, double *out)
{
    int month = 0;
    if (node->type != SW_JSON_ARRAY) {
        wrong_type(reader, key, node, "a list of twelve values");
        return;
    }
    for (const sw_node *item = node->first; item != NULL; item = item->next, month++)
        if (month < 12)
            read_quantity(reader, key, item, &out[month]);
    if (month != 12)
        sw_reader_error(reader, node, 0, hint_of(reader, key),
                        "twelve values are expected, January to December, not %d", month);
}

// ---- tables ----

static void read_value(sw_reader *reader, const sw_key *key, const sw_node *node, char *at)
{
    switch (key->kind) {
    case SW_KEY_QUANTITY:
        read_quantity(reader, key, node, (double *)(void *)at);
        break;
    case SW_KEY_NUMBER:
        read_number(reader, key, node, (double *)(void *)at);
        break;
    case SW_KEY_COUNT:
        read_count(reader, key, node, (int *)(void *)at);
        break;
    case SW_KEY_TEXT:
        read_text(reader, key, node, (const char **)(void *)at);
        break;
    case SW_KEY_CHOICE:
        read_word(reader, key, node, (int *)(void *)at);
        break;
    case SW_KEY_CHOICES:
        read_choices(reader, key, node, (unsigned *)(void *)at);
        break;
    case SW_KEY_WINDOWS:
        read_windows(reader, key, node, (const sw_windows **)(void *)at);
        break;
    case SW_KEY_TIMES:
        read_times(reader, key, node, (const sw_times **)(void *)at);
        break;
    case SW_KEY_LOCAL_TIME:
        read_local_time(reader, key, node, (int64_t *)(void *)at);
        break;
    case SW_KEY_MONTHS:
        read_months(reader, key, node, (double *)(void *)at);
        break;
    case SW_KEY_OTHER:
        break;
    }
}

/* What a key holds before it is read: its default, or "not given". */
static void write_absent(const sw_key *key, char *at)
{
    int defaulted = key->need == SW_DEFAULTED;
    switch (key->kind) {
    case SW_KEY_QUANTITY:
    case SW_KEY_NUMBER:
        *(double *)(void *)at = defaulted ? key->fallback : NAN;
        break;
    case SW_KEY_COUNT:
    case SW_KEY_CHOICE:
        *(int *)(void *)at = defaulted ? (int)key->fallback : -1;
        break;
    case SW_KEY_CHOICES:
        *(unsigned *)(void *)at = defaulted ? (unsigned)key->fallback : 0;
        break;
    case SW_KEY_LOCAL_TIME:
        *(int64_t *)(void *)at = SW_NO_TIME;
        break;
    case SW_KEY_TEXT:
    case SW_KEY_WINDOWS:
    case SW_KEY_TIMES:
        memset(at, 0, sizeof(void *));
        break;
    case SW_KEY_MONTHS:
    case SW_KEY_OTHER:
        break;
    }
}

const sw_node *sw_layers_find(const sw_layers *layers, const char *key)
{
    for (int i = 0; i < layers->count; i++) {
        const sw_node *node = sw_node_member(layers->object[i], key);
        if (node != NULL)
            return node;
    }
    return NULL;
}

static const sw_key *key_named(const sw_table *table, const char *name)
{
    for (size_t i = 0; i < table->count; i++)
        if (strcmp(table->keys[i].name, name) == 0)
            return &table->keys[i];
    return NULL;
}

static void unknown_key(sw_reader *reader, const sw_table *table, const sw_node *member)
{
    const char *known[64] = {NULL};
    size_t count = 0;
    for (size_t i = 0; i < table->count && count < 64; i++)
        known[count++] = table->keys[i].name;
    const char *nearest = sw_nearest_word(member->key, known, count);
    if (nearest != NULL) {
        sw_reader_error(reader, member, 1, hint_of(reader, key_named(table, nearest)),
                        "%s has no key \"%s\"; did you mean \"%s\"?", table->name, member->key, nearest);
        return;
    }
    char list[600] = "its keys are ";
    size_t used = strlen(list);
    for (size_t i = 0; i < count && used < sizeof list; i++)
        used += (size_t)snprintf(list + used, sizeof list - used, "%s%s", i > 0 ? ", " : "", known[i]);
    sw_reader_error(reader, member, 1, list, "%s has no key \"%s\"", table->name, member->key);
}

/* The keys that are needed, with their examples; the first key if none is. */
static const char *example_of(sw_reader *reader, const sw_table *table)
{
    char list[400];
    size_t used = 0;
    for (size_t i = 0; i < table->count && used < sizeof list; i++)
        if (table->keys[i].need == SW_NEEDED)
            used += (size_t)snprintf(list + used, sizeof list - used, "%s\"%s\": %s", used > 0 ? ", " : "",
                                     table->keys[i].name, table->keys[i].example);
    if (used == 0)
        snprintf(list, sizeof list, "\"%s\": %s", table->keys[0].name, table->keys[0].example);
    return sw_reader_text(reader, "for example {%s}", list);
}

int sw_check_keys(sw_reader *reader, const sw_table *table, const sw_node *object)
{
    if (object == NULL)
        return 1;
    if (object->type != SW_JSON_OBJECT) {
        sw_reader_error(reader, object, 0, example_of(reader, table),
                        "%s is expected here, with its keys in braces, not %s", table->name,
                        json_type_says(object->type));
        return 0;
    }
    for (const sw_node *member = object->first; member != NULL; member = member->next)
        if (key_named(table, member->key) == NULL)
            unknown_key(reader, table, member);
    return 1;
}

static void missing_key(sw_reader *reader, const sw_table *table, const sw_layers *layers, const sw_key *key)
{
    const sw_node *object = NULL;
    for (int i = 0; i < layers->count && object == NULL; i++)
        object = layers->object[i];
    sw_reader_error(reader, object, 0, sw_reader_text(reader, "add \"%s\": %s", key->name, key->example),
                    "%s needs the key \"%s\" (%s)", table->name, key->name, key->says);
}

static void assume_default(sw_reader *reader, const char *path, const sw_key *key, char *at)
{
    if (key->kind == SW_KEY_CHOICE)
        sw_assume_word(reader, path, key->name, key->says, key->mark, word_of(key, *(int *)(void *)at));
    else
        sw_assume(reader, path, key->name, key->says, key->mark, (double *)(void *)at, key->dimension,
                  key->low, key->high);
}

void sw_fill(sw_reader *reader, const sw_table *table, const sw_layers *layers, void *out)
{
    for (size_t i = 0; i < table->count; i++) {
        const sw_key *key = &table->keys[i];
        char *at = (char *)out + key->offset;
        if (key->kind != SW_KEY_OTHER)
            write_absent(key, at);
        const sw_node *node = sw_layers_find(layers, key->name);
        if (node != NULL)
            read_value(reader, key, node, at);
        else if (key->need == SW_NEEDED && !layers->incomplete)
            missing_key(reader, table, layers, key);
        else if (key->need == SW_DEFAULTED && key->mark != NULL)
            assume_default(reader, layers->path, key, at);
    }
}
