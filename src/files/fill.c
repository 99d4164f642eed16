// Fills structs by key tables: layers, defaults, strange and missing keys.
#include "files/fill.h"

#include "files/values.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

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
