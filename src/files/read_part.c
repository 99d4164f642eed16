// Opening of files, what they say they are, and parts: the layers of which a thing of a van is made.
#include "files/read_van.h"

#include <stdio.h>
#include <string.h>

// ---- opening ----

static const sw_node *keep(sw_reader *reader, const sw_text *text)
{
    sw_document *document = NULL;
    if (reader->documents == SW_DOCUMENTS_MAX) {
        sw_reader_error(reader, NULL, 0, "write the keys of some parts into the van file itself",
                        "more than %d files belong to one plan", SW_DOCUMENTS_MAX);
        return NULL;
    }
    sw_status status = sw_document_read(text->bytes, text->length, text->name, reader->messages, &document);
    if (status != SW_OK) {
        reader->failed = 1;
        if (status == SW_NO_MEMORY)
            sw_reader_no_memory(reader);
        return NULL;
    }
    reader->document[reader->documents++] = document;
    return sw_document_root(document);
}

static void not_opened(sw_reader *reader, sw_resource kind, sw_status status, const char *tried,
                       const char *reason, const sw_node *asking)
{
    reader->failed = 1;
    if (status == SW_NO_MEMORY) {
        sw_reader_no_memory(reader);
    } else if (asking != NULL) {
        const char *hint =
            kind == SW_RESOURCE_PART
                ? "give the name of a file in profiles/parts, such as \"lfp-100\", or a path seen "
                  "from the folder of this file, such as \"parts/mine.json\""
                : "give its path as seen from the folder of this file, such as "
                  "\"../vans/weekend.json\"";
        sw_node_fault(reader->messages, status, asking, hint, "the file %s could not be read: %s", tried,
                      reason);
    } else {
        sw_error(reader->messages, status, &(sw_where){.file = tried},
                 "check the spelling and the folder; a file in another folder needs its path, such as "
                 "trips/mesa.json",
                 "%s", reason);
    }
}

const sw_node *sw_reader_open(sw_reader *reader, sw_resource kind, const char *name, const sw_node *asking)
{
    sw_text text = {0};
    char reason[200] = "";
    const char *beside = asking != NULL ? sw_document_name(asking->document) : NULL;
    sw_status status = reader->loader->load(reader->loader->context, kind, name, beside, &text, reason);
    const sw_node *root = NULL;
    if (status == SW_OK) {
        root = keep(reader, &text);
    } else {
        if (asking != NULL && text.absent)
            status = SW_BAD_INPUT; // a name that leads nowhere is a fault of the file that gives it
        not_opened(reader, kind, status, text.name != NULL ? text.name : name, reason, asking);
    }
    sw_text_free(&text);
    return root;
}

const char *const sw_file_kind_says[SW_FILE_KIND_COUNT] = {"a van file", "a trip file", "a part file",
                                                           "a study file"};
const char *const sw_file_formats[SW_FILE_KIND_COUNT] = {"stillwatt van 1", "stillwatt trip 1",
                                                         "stillwatt part 1", "stillwatt study 1"};

int sw_reader_format(sw_reader *reader, const sw_node *root, sw_file_kind *kind)
{
    const sw_node *format = sw_node_member(root, "format");
    const char *hint = "begin the file with \"format\": \"stillwatt van 1\" (or trip, part or study)";
    if (root->type != SW_JSON_OBJECT) {
        sw_reader_error(reader, root, 0, hint, "the file must begin with { and end with }");
        return 0;
    }
    if (format == NULL || format->type != SW_JSON_STRING) {
        sw_reader_error(reader, format != NULL ? format : root, 0, hint,
                        "the key \"format\" must say what this file is");
        return 0;
    }
    for (int i = 0; i < SW_FILE_KIND_COUNT; i++) {
        if (strcmp(format->text, sw_file_formats[i]) == 0) {
            *kind = (sw_file_kind)i;
            return 1;
        }
    }
    sw_reader_error(reader, format, 0, hint, "\"%s\" is not a known format%s", format->text,
                    sw_reader_guess(reader, format->text, sw_file_formats, SW_FILE_KIND_COUNT));
    return 0;
}

// ---- parts ----

const sw_part_kind sw_part_kinds[SW_PART_KINDS] = {
    {"battery", &sw_battery_table},       {"array", &sw_array_table}, {"controller", &sw_controller_table},
    {"alternator", &sw_alternator_table}, {"shore", &sw_shore_table}, {"generator", &sw_generator_table},
    {"inverter", &sw_inverter_table},     {"load", &sw_load_table},   {"tank", &sw_tank_table},
    {"starter", &sw_starter_table},
};

static const sw_table *part_table(sw_reader *reader, const sw_node *root)
{
    const sw_node *kind = sw_node_member(root, "kind");
    const char *words[SW_PART_KINDS];
    if (kind == NULL)
        return NULL;
    if (kind->type != SW_JSON_STRING) {
        sw_reader_error(reader, kind, 0, "for example \"kind\": \"battery\"",
                        "the kind of part is expected here, as a text");
        return NULL;
    }
    for (int i = 0; i < SW_PART_KINDS; i++) {
        if (strcmp(kind->text, sw_part_kinds[i].word) == 0)
            return sw_part_kinds[i].table;
        words[i] = sw_part_kinds[i].word;
    }
    sw_reader_error(
        reader, kind, 0,
        "battery, array, controller, alternator, shore, generator, inverter, load, tank or starter",
        "\"%s\" is not a kind of part%s", kind->text,
        sw_reader_guess(reader, kind->text, words, SW_PART_KINDS));
    return NULL;
}

/* The object of a part's keys, checked against the table it is wanted for (NULL: any). */
static const sw_node *part_object(sw_reader *reader, const sw_node *root, const sw_table *wanted,
                                  const sw_node *asking)
{
    sw_file_kind kind;
    if (!sw_reader_format(reader, root, &kind))
        return NULL;
    if (kind != SW_FILE_PART) {
        sw_reader_error(reader, asking, 0, "name a file with \"format\": \"stillwatt part 1\"",
                        "%s is %s, but a part file is wanted here", sw_document_name(root->document),
                        sw_file_kind_says[kind]);
        return NULL;
    }
    sw_van named; // only its name is read, to be checked
    sw_check_keys(reader, &sw_part_table, root);
    sw_fill(reader, &sw_part_table, &(sw_layers){{root}, 1, 0, "part "}, &named);
    const sw_table *table = part_table(reader, root);
    const sw_node *is = sw_node_member(root, "is"), *part = sw_node_member(is, "part");
    if (part != NULL)
        sw_reader_error(reader, part, 1, "write its keys here", "a part cannot stand on another part");
    if (table == NULL || is == NULL)
        return NULL;
    if (wanted != NULL && table != wanted) {
        sw_reader_error(reader, asking, 0, "name a part of that kind",
                        "the part \"%s\" is %s, but %s is wanted here", asking->text, table->name,
                        wanted->name);
        return NULL;
    }
    return sw_check_keys(reader, table, is) ? is : NULL;
}

/* Part values are checked by filling a struct that nobody keeps; what a part leaves open is no error. */
void sw_reader_part(sw_reader *reader, const sw_node *root)
{
    union {
        sw_battery_spec battery;
        sw_array_spec array;
        sw_load_spec load;
        sw_inverter_spec inverter;
    } room;
    const sw_node *is = part_object(reader, root, NULL, NULL);
    const sw_table *table = is != NULL ? part_table(reader, root) : NULL;
    if (table == NULL)
        return;
    sw_key keys[64];
    for (size_t i = 0; i < table->count; i++) {
        keys[i] = table->keys[i];
        keys[i].need = keys[i].need == SW_NEEDED ? SW_OPTIONAL : keys[i].need;
    }
    sw_table lenient = {table->name, keys, table->count};
    sw_fill(reader, &lenient, &(sw_layers){{is}, 1, 0, "part"}, &room);
}

/* Layers of one thing of a van: habit, van file, part file. */
sw_layers sw_reader_layers(sw_reader *reader, const sw_table *table, const sw_node *object,
                           const sw_node *habit, const char *path)
{
    sw_layers layers = {.count = 0, .path = path};
    if (habit != NULL && sw_check_keys(reader, &sw_habit_table, habit))
        layers.object[layers.count++] = habit;
    if (!sw_check_keys(reader, table, object))
        return (sw_layers){.count = 0, .path = path};
    layers.object[layers.count++] = object;
    const sw_node *part = sw_node_member(object, "part");
    if (part == NULL)
        return layers;
    const sw_node *root = NULL, *is = NULL;
    if (part->type != SW_JSON_STRING)
        sw_reader_error(reader, part, 0, "for example \"part\": \"lfp-100\"",
                        "the name of a part is expected here");
    else
        root = sw_reader_open(reader, SW_RESOURCE_PART, part->text, part);
    if (root != NULL)
        is = part_object(reader, root, table, part);
    if (is != NULL)
        layers.object[layers.count++] = is;
    layers.incomplete = is == NULL;
    return layers;
}

// ---- objects, maps and counts ----

void *sw_reader_optional(sw_reader *reader, const sw_node *root, const char *key, const sw_table *table,
                         size_t size)
{
    const sw_node *node = sw_node_member(root, key);
    const char *path = sw_reader_text(reader, "van /%s", key);
    if (node == NULL || path == NULL)
        return NULL;
    void *out = sw_arena_alloc(reader->arena, size);
    if (out == NULL) {
        sw_reader_no_memory(reader);
        return NULL;
    }
    sw_layers layers = sw_reader_layers(reader, table, node, NULL, path);
    if (layers.count > 0)
        sw_fill(reader, table, &layers, out);
    return out;
}

int sw_reader_members(const sw_node *object)
{
    int count = 0;
    for (const sw_node *member = object != NULL ? object->first : NULL; member != NULL; member = member->next)
        count++;
    return count;
}

/* A map of named things. @return its object, NULL if absent or wrong */
const sw_node *sw_reader_map(sw_reader *reader, const sw_node *root, const char *key, const char *example)
{
    const sw_node *node = sw_node_member(root, key);
    if (node == NULL || node->type == SW_JSON_OBJECT)
        return node;
    sw_reader_error(reader, node, 0, example, "\"%s\" must hold them by name, in braces", key);
    return NULL;
}

/* True if no error was added since `before` = sw_messages_errors(): only then do values make sense together.
 */
int sw_reader_clean_since(const sw_reader *reader, size_t before)
{
    return sw_messages_errors(reader->messages) == before;
}
