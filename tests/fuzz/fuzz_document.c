// Any bytes as a JSON document: what is read stands where the nodes say, in order, and is what stands there.
#include "fuzz/support/said.h"

#include "stillwatt/document.h"

#include <stdlib.h>
#include <string.h>

// Each node's key and value begin after the one before them.
static void check_order(const sw_node *node, const fuzz_text *text, size_t *after)
{
    FUZZ_ASSERT(node->key_offset >= *after && node->offset >= node->key_offset && node->offset < text->length,
                "a value at offset %zu, its key at %zu, after %zu of %zu", node->offset, node->key_offset,
                *after, text->length);
    FUZZ_ASSERT((node->key != NULL) == (node->offset > node->key_offset), "a key where there is none");
    FUZZ_ASSERT(node->key == NULL || text->bytes[node->key_offset] == '"',
                "a key does not begin with a quote");
    *after = node->offset + 1;
}

static void check_number(const sw_node *node, const char *at)
{
    char *end;
    double number = strtod(at, &end);
    FUZZ_ASSERT(end > at && memcmp(&number, &node->number, sizeof number) == 0, "%.20s was read as %a", at,
                node->number);
}

// A text without escapes stands in the file as it is.
static void check_string(const char *value, const char *at)
{
    size_t length = strcspn(at + 1, "\"\\");
    if (at[1 + length] == '"')
        FUZZ_ASSERT(strlen(value) == length && memcmp(value, at + 1, length) == 0, "%.20s was read as %s", at,
                    value);
}

static void check_value(const sw_node *node, const char *at)
{
    static const char first[] = {'n', 0, 0, '"', '[', '{'};
    FUZZ_ASSERT((node->text != NULL) == (node->type == SW_JSON_STRING), "a text where there is none");
    FUZZ_ASSERT(node->first == NULL || node->type >= SW_JSON_ARRAY, "a plain value with values in it");
    if (node->type == SW_JSON_NUMBER)
        check_number(node, at);
    else if (node->type == SW_JSON_BOOL)
        FUZZ_ASSERT(*at == (node->number != 0 ? 't' : 'f'), "%.10s was read as %g", at, node->number);
    else
        FUZZ_ASSERT(*at == first[node->type], "%.10s was read as type %d", at, (int)node->type);
    if (node->type == SW_JSON_STRING)
        check_string(node->text, at);
}

static void check_place(const sw_node *node, const fuzz_text *text)
{
    int line, column, counted_line, counted_column;
    sw_document_position(node->document, node->offset, &line, &column);
    fuzz_count_place(text->bytes, node->offset, &counted_line, &counted_column);
    FUZZ_ASSERT(line == counted_line && column == counted_column, "offset %zu is at %d:%d, not %d:%d",
                node->offset, counted_line, counted_column, line, column);
}

static void check_node(const sw_node *node, const sw_node *parent, const fuzz_text *text, size_t *after,
                       fuzz_record *record)
{
    FUZZ_ASSERT(node->parent == parent, "a value has lost its parent");
    FUZZ_ASSERT((node->key != NULL) == (parent != NULL && parent->type == SW_JSON_OBJECT),
                "a key outside an object, or none in one");
    check_order(node, text, after);
    check_value(node, text->bytes + node->offset);
    check_place(node, text);
    if (node->key != NULL) {
        check_string(node->key, text->bytes + node->key_offset);
        FUZZ_ASSERT(sw_node_member(parent, node->key) == node, "a member is not the one of its key");
    }
    fuzz_note(record, "%d %zu %zu %a %s\n", (int)node->type, node->key_offset, node->offset, node->number,
              node->text != NULL ? node->text : "-");
    size_t index = 0;
    for (const sw_node *below = node->first; below != NULL; below = below->next) {
        FUZZ_ASSERT(below->index == index++, "a value does not know its place in the list");
        check_node(below, node, text, after, record);
    }
}

static fuzz_record read_once(const fuzz_text *text)
{
    static const sw_status statuses[] = {SW_BAD_INPUT, SW_NO_MEMORY, SW_OK};
    const fuzz_named named = {"some.json", text->bytes, text->length, 1};
    char *exact = fuzz_memory(text->length); // without the NUL, so that a sanitizer sees any step beyond
    memcpy(exact, text->bytes, text->length);
    sw_messages *messages = sw_messages_create();
    sw_document *document = NULL;
    fuzz_record record = {NULL, 0, 0};
    size_t after = 0;
    sw_status status = sw_document_read(exact, text->length, named.name, messages, &document);
    free(exact);
    fuzz_check_said(messages, status, statuses, &named, 1, &record);
    FUZZ_ASSERT((document != NULL) == (status == SW_OK), "status %d, but %s document", (int)status,
                document != NULL ? "a" : "no");
    if (document != NULL) {
        FUZZ_ASSERT(sw_document_root(document)->next == NULL, "a second value at the top");
        check_node(sw_document_root(document), NULL, text, &after, &record);
    }
    sw_document_free(document);
    sw_messages_free(messages);
    return record;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_input input = {data, size};
    fuzz_change change = fuzz_choose_change(&input);
    fuzz_text text = fuzz_text_of((const char *)input.at, input.left);
    fuzz_change_text(change, &text);
    fuzz_record first = read_once(&text), second = read_once(&text);
    fuzz_same(&first, &second);
    fuzz_text_free(&text);
    return 0;
}
