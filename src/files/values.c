// Reads single values and lists as a key describes them: one reader per kind of key.
#include "files/values.h"

#include "files/quantity_units.h"

#include "stillwatt/reader.h"

#include "stillwatt/civil.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#define WORDS_MAX 24

// ---- single values ----

const char *sw_json_type_says(sw_json_type type)
{
    static const char *const says[] = {"null",   "true or false", "a number",
                                       "a text", "a list",        "keys in braces"};
    return says[type];
}

const char *sw_key_hint(sw_reader *reader, const sw_key *key)
{
    return sw_reader_text(reader, "for example \"%s\": %s", key->name, key->example);
}

/* "a power is expected" and so on, with what was found */
static void wrong_type(sw_reader *reader, const sw_key *key, const sw_node *node, const char *expected)
{
    sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "%s is expected here (%s), not %s", expected,
                    key->says, sw_json_type_says(node->type));
}

void sw_key_write(const sw_key *key, double value, char *buffer, size_t size)
{
    sw_quantity back;
    sw_quantity_write(value, key->dimension, SW_UNITS_SI, buffer, size);
    if (key->dimension == SW_DIM_MONEY ||
        (sw_quantity_read(buffer, key->dimension, &back) == SW_QUANTITY_OK &&
         fabs(back.value - value) <= 1e-9 * fabs(value)))
        return;
    const sw_unit *unit = sw_unit_find(back.unit, key->dimension);
    snprintf(buffer, size, "%.9g %s", sw_unit_from_held(unit, value), unit->name);
    char *point = strchr(buffer, ',');
    if (point != NULL)
        *point = '.';
}

static void out_of_range(sw_reader *reader, const sw_key *key, const sw_node *node)
{
    char least[48], most[48];
    if (key->kind == SW_KEY_QUANTITY || key->kind == SW_KEY_MONTHS) {
        sw_key_write(key, key->least, least, sizeof least);
        sw_key_write(key, key->most, most, sizeof most);
    } else {
        snprintf(least, sizeof least, "%g", key->least);
        snprintf(most, sizeof most, "%g", key->most);
    }
    if (node->type == SW_JSON_STRING)
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "\"%s\" must lie between %s and %s (%s)",
                        node->text, least, most, key->says);
    else
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "%g must lie between %s and %s (%s)",
                        node->number, least, most, key->says);
}

static void wrong_quantity(sw_reader *reader, const sw_key *key, const sw_node *node,
                           sw_quantity_result result, const sw_quantity *found)
{
    const char *wanted = sw_dimension_says(key->dimension);
    const char *units = sw_dimension_units(key->dimension);
    switch (result) {
    case SW_QUANTITY_NO_NUMBER:
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key),
                        "\"%s\" does not begin with a number; %s is expected (%s)", node->text, wanted,
                        key->says);
        break;
    case SW_QUANTITY_NO_UNIT:
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key),
                        "\"%s\" has no unit; %s is expected, in %s", node->text, wanted, units);
        break;
    case SW_QUANTITY_UNKNOWN_UNIT:
        if (found->suggestion != NULL)
            sw_reader_error(reader, node, 0, sw_key_hint(reader, key),
                            "the unit \"%s\" is not known; did you mean \"%s\"?", found->unit,
                            found->suggestion);
        else
            sw_reader_error(reader, node, 0, sw_key_hint(reader, key),
                            "the unit \"%s\" is not known; %s is expected, in %s", found->unit, wanted,
                            units);
        break;
    case SW_QUANTITY_WRONG_DIMENSION:
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "\"%s\" is %s, but %s is expected (%s)",
                        node->text, sw_dimension_says(found->found), wanted, key->says);
        break;
    default:
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "\"%s\" is too large a number",
                        node->text);
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
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key),
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
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "a whole number is expected (%s)",
                        key->says);
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

const char *sw_key_word(const sw_key *key, int value)
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
    sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "\"%s\" is not one of %s%s", node->text,
                    list_words(reader, key), sw_reader_guess(reader, node->text, known, count));
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
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "the list is empty (%s)", key->says);
    *out = bits;
}

#define NOT_PLAIN "line breaks, invisible characters and marks of direction are not allowed here"

const char *sw_name_read(sw_reader *reader, const sw_node *node)
{
    if (node->key[0] == '\0')
        sw_reader_error(reader, node, 1, "for example \"lights\"", "this name is empty");
    else if (!sw_text_is_plain(node->key))
        sw_reader_error(reader, node, 1, "write the name on one line", NOT_PLAIN);
    const char *name = sw_reader_text(reader, "%s", node->key);
    return name != NULL ? name : node->key; // without memory no plan is made; until then names are compared
}

static void read_text(sw_reader *reader, const sw_key *key, const sw_node *node, const char **out)
{
    if (node->type != SW_JSON_STRING)
        wrong_type(reader, key, node, "a text");
    else if (node->text[0] == '\0')
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "this text is empty (%s)", key->says);
    else if (!sw_text_is_plain(node->text))
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), NOT_PLAIN);
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
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key),
                        "\"%s\" is not a date and time that exists (year-month-day hour:minute)", node->text);
        return;
    }
    if (!has_time) {
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "\"%s\" has no clock time", node->text);
        return;
    }
    if (civil.year < 1900 || civil.year > 2099) {
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "the year must lie between 1900 and 2099");
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
                reader, item, 0, sw_key_hint(reader, key),
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
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "the list is empty (%s)", key->says);
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
            sw_reader_error(reader, item, 0, sw_key_hint(reader, key),
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
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key), "the list is empty (%s)", key->says);
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
        sw_reader_error(reader, node, 0, sw_key_hint(reader, key),
                        "twelve values are expected, January to December, not %d", month);
}

// ---- any of them ----

void sw_value_read(sw_reader *reader, const sw_key *key, const sw_node *node, char *at)
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
