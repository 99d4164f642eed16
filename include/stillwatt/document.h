/// A JSON document (RFC 8259, with // and /* */ comments) in which every value knows its place in the text.
#ifndef STILLWATT_DOCUMENT_H
#define STILLWATT_DOCUMENT_H

#include "stillwatt/message.h"

#include <stddef.h>
#include <stdint.h>

typedef enum sw_json_type {
    SW_JSON_NULL,
    SW_JSON_BOOL,
    SW_JSON_NUMBER,
    SW_JSON_STRING,
    SW_JSON_ARRAY,
    SW_JSON_OBJECT
} sw_json_type;

/// One value. Nodes are owned by their document and never change.
typedef struct sw_node {
    sw_json_type type;
    const char *key;   ///< in its object; NULL in an array and at the root
    const char *text;  ///< of a string, unescaped, no NUL inside; otherwise NULL
    double number;     ///< of a number, read independently of the locale; 0/1 of a bool
    size_t offset;     ///< of the value, in bytes of the text
    size_t key_offset; ///< of its key; of the value where there is no key
    size_t index;      ///< its place among its siblings, from 0
    const struct sw_node *parent, *first, *next; ///< next is the next sibling, in the order of the text
    const struct sw_document *document;
} sw_node;

typedef struct sw_document sw_document;

#define SW_DOCUMENT_MAX_BYTES (4u << 20)
#define SW_DOCUMENT_MAX_DEPTH 64

/// Reads a document. The text is checked first by a strict, non-recursive scanner (UTF-8, depth <= 64, at
/// most 4 MB, the number grammar, numbers that a double can carry, no NUL or lone surrogate, no duplicate
/// keys, nothing after the value), comments are blanked in a copy so that offsets stay, then cJSON parses it,
/// and each of its nodes is matched with the offset that the scanner noted. A byte order mark is skipped; it
/// counts in offsets, not in columns.
/// @param text need not be terminated, and is not kept
/// @return SW_OK, SW_BAD_INPUT with messages (every duplicate key; the first error of syntax; a file that is
/// too large without a position), or SW_NO_MEMORY
sw_status sw_document_read(const char *text, size_t length, const char *name, sw_messages *messages,
                           sw_document **out);
/// Releases a document and all its nodes; NULL is allowed.
void sw_document_free(sw_document *document);

/// The outermost value; owned by the document.
const sw_node *sw_document_root(const sw_document *document);
/// The name it was read under; owned by the document.
const char *sw_document_name(const sw_document *document);

/// The member of an object by exact key; NULL if it is absent or `object` is NULL or not an object.
const sw_node *sw_node_member(const sw_node *object, const char *key);

/// Line and column (from 1, column in bytes) of an offset of the document. Lines end with LF, CR LF or CR
/// alone.
void sw_document_position(const sw_document *document, size_t offset, int *line, int *column);

/// Writes the JSON Pointer (RFC 6901) of a node ("" for the root becomes "/"). @return as snprintf
int sw_node_pointer(const sw_node *node, char *buffer, size_t size);

/// Adds an error (or warning) that points at a node's value, or at its key. As sw_error with SW_BAD_INPUT.
sw_status sw_node_error(sw_messages *messages, const sw_node *node, int at_key, const char *hint,
                        const char *what, ...) __attribute__((format(printf, 5, 6)));
/// As sw_node_error at the value, with an error of another status, such as SW_CANNOT_READ.
sw_status sw_node_fault(sw_messages *messages, sw_status status, const sw_node *node, const char *hint,
                        const char *what, ...) __attribute__((format(printf, 5, 6)));
void sw_node_warn(sw_messages *messages, const sw_node *node, const char *hint, const char *what, ...)
    __attribute__((format(printf, 4, 5)));

#endif
