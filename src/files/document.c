// A document: the text is scanned, cJSON parses what the scanner left, and the two are joined into one tree
// of nodes.
#include "stillwatt/document.h"

#include "files/arena.h"
#include "files/document_scan.h"

#include <cjson/cJSON.h>
#include <stdlib.h>
#include <string.h>

struct sw_document {
    sw_arena *arena; // holds all that follows
    const char *name;
    sw_node *nodes; // in the order of the text, the root first
    size_t count;
    uint32_t *line_starts; // offsets, ascending
    size_t lines;
};

// Counts the lines, which end with LF, CR LF or CR alone, and notes where they start if there is a place for
// it.
static size_t walk_lines(const char *text, size_t length, uint32_t *starts)
{
    // A byte order mark is no part of the first line.
    size_t at = length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    for (size_t lines = 0;;) {
        if (starts != NULL)
            starts[lines] = (uint32_t)at;
        lines++;
        while (at < length && text[at] != '\n' && text[at] != '\r')
            at++;
        if (at == length)
            return lines;
        at += text[at] == '\r' && at + 1 < length && text[at + 1] == '\n' ? 2 : 1;
    }
}

static sw_document *create(const char *text, size_t length, const char *name)
{
    sw_arena *arena = sw_arena_create();
    sw_document *document = arena == NULL ? NULL : sw_arena_alloc(arena, sizeof *document);
    if (document == NULL) {
        sw_arena_free(arena);
        return NULL;
    }
    document->arena = arena;
    document->name = sw_arena_text(arena, name);
    document->lines = walk_lines(text, length, NULL);
    document->line_starts = sw_arena_alloc(arena, document->lines * sizeof *document->line_starts);
    if (document->name == NULL || document->line_starts == NULL) {
        sw_arena_free(arena);
        return NULL;
    }
    walk_lines(text, length, document->line_starts);
    return document;
}

void sw_document_free(sw_document *document)
{
    if (document != NULL)
        sw_arena_free(document->arena);
}

const sw_node *sw_document_root(const sw_document *document)
{
    return document->nodes;
}

const char *sw_document_name(const sw_document *document)
{
    return document->name;
}

void sw_document_position(const sw_document *document, size_t offset, int *line, int *column)
{
    size_t low = 0, high = document->lines;
    while (high - low > 1) {
        size_t middle = low + (high - low) / 2;
        if (document->line_starts[middle] <= offset)
            low = middle;
        else
            high = middle;
    }
    size_t start = document->line_starts[low];
    *line = (int)low + 1;
    *column = offset < start ? 1 : (int)(offset - start) + 1;
}

static sw_json_type type_of(const cJSON *item)
{
    switch (item->type & 0xFF) {
    case cJSON_False:
    case cJSON_True:
        return SW_JSON_BOOL;
    case cJSON_Number:
        return SW_JSON_NUMBER;
    case cJSON_String:
        return SW_JSON_STRING;
    case cJSON_Array:
        return SW_JSON_ARRAY;
    case cJSON_Object:
        return SW_JSON_OBJECT;
    default:
        return SW_JSON_NULL;
    }
}

static sw_status fill(sw_node *node, const cJSON *item, const sw_spot *spot, sw_document *document)
{
    node->document = document;
    node->type = type_of(item);
    node->offset = spot->offset;
    node->key_offset = spot->key_offset;
    node->number = cJSON_IsTrue(item) ? 1 : spot->number;
    if (item->string != NULL)
        node->key = sw_arena_text(document->arena, item->string);
    if (node->type == SW_JSON_STRING)
        node->text = sw_arena_text(document->arena, item->valuestring);
    int kept =
        (item->string == NULL || node->key != NULL) && (node->type != SW_JSON_STRING || node->text != NULL);
    return kept ? SW_OK : SW_NO_MEMORY;
}

// Joins cJSON's items with the scanner's spots. Both come in the order of the text, so that the n-th meets
// the n-th.
static sw_status join(sw_document *document, const cJSON *item, const sw_spot *spots)
{
    const cJSON *open_item[SW_DOCUMENT_MAX_DEPTH];
    sw_node *open_node[SW_DOCUMENT_MAX_DEPTH];
    int depth = 0;
    const sw_node **link = NULL; // where the next node's address belongs
    size_t index = 0;
    for (size_t i = 0; i < document->count; i++) {
        sw_node *node = &document->nodes[i];
        sw_status status = fill(node, item, &spots[i], document);
        if (status != SW_OK)
            return status;
        node->parent = depth > 0 ? open_node[depth - 1] : NULL;
        node->index = index;
        if (link != NULL)
            *link = node;
        if (item->child != NULL) {
            open_item[depth] = item;
            open_node[depth++] = node;
            link = &node->first;
            item = item->child;
            index = 0;
            continue;
        }
        while (item->next == NULL && depth > 0) {
            item = open_item[--depth];
            node = open_node[depth];
        }
        link = &node->next;
        index = node->index + 1;
        item = item->next;
    }
    return SW_OK;
}

static sw_status parse(sw_document *document, const char *text, size_t length, const sw_scan *scan)
{
    // The scanner has judged the text, so that memory is all that cJSON can still fail for.
    cJSON *root = cJSON_ParseWithLengthOpts(text, length + 1, NULL, 1);
    if (root == NULL)
        return SW_NO_MEMORY;
    document->count = scan->count;
    document->nodes = sw_arena_alloc(document->arena, scan->count * sizeof *document->nodes);
    sw_status status = document->nodes == NULL ? SW_NO_MEMORY : join(document, root, scan->spots);
    cJSON_Delete(root);
    return status;
}

struct member {
    const sw_node *node, *first; // `first` has the same key in the same object, earlier
};

static int by_place(const void *a, const void *b)
{
    const sw_node *x = ((const struct member *)a)->node, *y = ((const struct member *)b)->node;
    return (x > y) - (x < y);
}

static int by_key(const void *a, const void *b)
{
    const sw_node *x = ((const struct member *)a)->node, *y = ((const struct member *)b)->node;
    if (x->parent != y->parent)
        return x->parent < y->parent ? -1 : 1;
    int order = strcmp(x->key, y->key);
    return order != 0 ? order : by_place(a, b);
}

static size_t collect_members(const sw_document *document, struct member *members)
{
    size_t count = 0;
    for (size_t i = 0; i < document->count; i++)
        if (document->nodes[i].key != NULL)
            members[count++].node = &document->nodes[i];
    return count;
}

// Leaves only the members whose key was there before, in the order of the text.
static size_t keep_duplicates(struct member *members, size_t count)
{
    qsort(members, count, sizeof *members, by_key);
    size_t kept = 0;
    const sw_node *first = count > 0 ? members[0].node : NULL;
    for (size_t i = 1; i < count; i++) {
        const sw_node *node = members[i].node;
        if (node->parent == first->parent && strcmp(node->key, first->key) == 0)
            members[kept++] = (struct member){node, first};
        else
            first = node;
    }
    qsort(members, kept, sizeof *members, by_place);
    return kept;
}

static sw_status refuse_duplicates(const sw_document *document, sw_messages *messages)
{
    struct member *members = malloc(document->count * sizeof *members);
    if (members == NULL)
        return SW_NO_MEMORY;
    size_t count = keep_duplicates(members, collect_members(document, members));
    sw_status status = SW_OK;
    for (size_t i = 0; i < count && status != SW_NO_MEMORY; i++) {
        int line, column;
        sw_document_position(document, members[i].first->key_offset, &line, &column);
        status = sw_node_error(messages, members[i].node, 1, "keep one of the two",
                               "this key is already in the same object, on line %d", line);
    }
    free(members);
    return status;
}

static sw_status read_copy(sw_document *document, char *copy, size_t length, sw_messages *messages)
{
    sw_scan scan;
    sw_status status = sw_scan_text(copy, length, &scan);
    if (status == SW_BAD_INPUT) {
        sw_where where = {.file = document->name};
        sw_document_position(document, scan.error_offset, &where.line, &where.column);
        status = sw_error(messages, status, &where, scan.hint, "%s", scan.what);
    } else if (status == SW_OK) {
        status = parse(document, copy, length, &scan);
    }
    sw_scan_free(&scan);
    return status == SW_OK ? refuse_duplicates(document, messages) : status;
}

sw_status sw_document_read(const char *text, size_t length, const char *name, sw_messages *messages,
                           sw_document **out)
{
    *out = NULL;
    if (length > SW_DOCUMENT_MAX_BYTES)
        return sw_error(messages, SW_BAD_INPUT, &(sw_where){.file = name}, "is this the file you meant?",
                        "the file has %zu bytes; more than %u are not read", length, SW_DOCUMENT_MAX_BYTES);
    sw_document *document = create(text, length, name);
    char *copy = malloc(length + 1);
    sw_status status = SW_NO_MEMORY;
    if (document != NULL && copy != NULL) {
        memcpy(copy, text, length);
        copy[length] = '\0';
        status = read_copy(document, copy, length, messages);
    }
    free(copy);
    if (status == SW_OK)
        *out = document;
    else
        sw_document_free(document);
    return status;
}
