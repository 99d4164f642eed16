// What can be asked of one node of a document: members, its JSON Pointer, and messages that point at it.
#include "stillwatt/document.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

const sw_node *sw_node_member(const sw_node *object, const char *key)
{
    if (object == NULL || object->type != SW_JSON_OBJECT)
        return NULL;
    const sw_node *member = object->first;
    while (member != NULL && strcmp(member->key, key) != 0)
        member = member->next;
    return member;
}

struct output {
    char *buffer;
    size_t size, length;
};

static void put(struct output *out, const char *bytes, size_t count)
{
    if (out->length + 1 < out->size) {
        size_t room = out->size - out->length - 1;
        memcpy(out->buffer + out->length, bytes, count < room ? count : room);
    }
    out->length += count;
}

// A key as a reference token of RFC 6901 section 3: ~ becomes ~0 and / becomes ~1.
static void put_key(struct output *out, const char *key)
{
    for (;;) {
        size_t plain = strcspn(key, "~/");
        put(out, key, plain);
        key += plain;
        if (*key == '\0')
            return;
        put(out, *key == '~' ? "~0" : "~1", 2);
        key++;
    }
}

static void put_index(struct output *out, size_t index)
{
    char digits[24];
    int length = snprintf(digits, sizeof digits, "%zu", index);
    put(out, digits, (size_t)length);
}

int sw_node_pointer(const sw_node *node, char *buffer, size_t size)
{
    const sw_node *path[SW_DOCUMENT_MAX_DEPTH];
    int depth = 0;
    for (; node->parent != NULL; node = node->parent)
        path[depth++] = node;
    struct output out = {buffer, size, 0};
    if (depth == 0)
        put(&out, "/", 1);
    while (depth-- > 0) {
        put(&out, "/", 1);
        if (path[depth]->key != NULL)
            put_key(&out, path[depth]->key);
        else
            put_index(&out, path[depth]->index);
    }
    if (size > 0)
        buffer[out.length < size ? out.length : size - 1] = '\0';
    return (int)out.length;
}

/* An error of the given status; a warning where that is SW_OK. */
static sw_status add(sw_messages *messages, sw_status status, const sw_node *node, int at_key,
                     const char *hint, const char *what, va_list arguments)
{
    sw_severity severity = status == SW_OK ? SW_WARNING : SW_ERROR;
    char usual[512];
    int length = sw_node_pointer(node, usual, sizeof usual);
    char *longer = NULL;
    if ((size_t)length >= sizeof usual) {
        longer = malloc((size_t)length + 1);
        if (longer != NULL)
            sw_node_pointer(node, longer, (size_t)length + 1);
    }
    // Without memory for a long path the message goes without one; the line and the column still tell.
    sw_where where = {.file = sw_document_name(node->document),
                      .path = (size_t)length < sizeof usual ? usual : longer};
    sw_document_position(node->document, at_key ? node->key_offset : node->offset, &where.line,
                         &where.column);
    status = sw_messages_add(messages, severity, status, &where, hint, what, arguments);
    free(longer);
    return status;
}

sw_status sw_node_error(sw_messages *messages, const sw_node *node, int at_key, const char *hint,
                        const char *what, ...)
{
    va_list arguments;
    va_start(arguments, what);
    sw_status status = add(messages, SW_BAD_INPUT, node, at_key, hint, what, arguments);
    va_end(arguments);
    return status;
}

sw_status sw_node_fault(sw_messages *messages, sw_status status, const sw_node *node, const char *hint,
                        const char *what, ...)
{
    va_list arguments;
    va_start(arguments, what);
    status = add(messages, status, node, 0, hint, what, arguments);
    va_end(arguments);
    return status;
}

void sw_node_warn(sw_messages *messages, const sw_node *node, const char *hint, const char *what, ...)
{
    va_list arguments;
    va_start(arguments, what);
    add(messages, SW_OK, node, 0, hint, what, arguments);
    va_end(arguments);
}
