// Fills structs by key tables: layers, defaults, strange and missing keys, and the list of what was assumed.
#include "files/values.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

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

const char *sw_reader_guess(sw_reader *reader, const char *word, const char *const *known, size_t count)
{
    const char *nearest = sw_nearest_word(word, known, count);
    const char *guess = nearest != NULL ? sw_reader_text(reader, "; did you mean \"%s\"?", nearest) : "";
    return guess != NULL ? guess : "";
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

// ---- tables ----

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
        sw_reader_error(reader, member, 1, sw_key_hint(reader, key_named(table, nearest)),
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
                        sw_json_type_says(object->type));
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
        sw_assume_word(reader, path, key->name, key->says, key->mark, sw_key_word(key, *(int *)(void *)at));
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
            sw_value_read(reader, key, node, at);
        else if (key->need == SW_NEEDED && !layers->incomplete)
            missing_key(reader, table, layers, key);
        else if (key->need == SW_DEFAULTED && key->mark != NULL)
            assume_default(reader, layers->path, key, at);
    }
}
