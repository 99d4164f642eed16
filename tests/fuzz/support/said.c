#include "fuzz/support/said.h"

#include "stillwatt/document.h"
#include "stillwatt/reader.h"

#include <stdlib.h>
#include <string.h>

enum { PATH_ROOM = 1 << 16 };

// Bytes of the character that begins here, 0 if it is none.
static size_t character(const unsigned char *at)
{
    static const struct {
        unsigned char low, high, second_low, second_high;
        size_t bytes;
    } forms[] = {{0x20, 0x7E, 0, 0, 1},       {0xC2, 0xDF, 0x80, 0xBF, 2}, {0xE0, 0xE0, 0xA0, 0xBF, 3},
                 {0xE1, 0xEC, 0x80, 0xBF, 3}, {0xED, 0xED, 0x80, 0x9F, 3}, {0xEE, 0xEF, 0x80, 0xBF, 3},
                 {0xF0, 0xF0, 0x90, 0xBF, 4}, {0xF1, 0xF3, 0x80, 0xBF, 4}, {0xF4, 0xF4, 0x80, 0x8F, 4}};
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        if (at[0] < forms[i].low || at[0] > forms[i].high)
            continue;
        if (forms[i].bytes > 1 && (at[1] < forms[i].second_low || at[1] > forms[i].second_high))
            return 0;
        for (size_t k = 2; k < forms[i].bytes; k++)
            if (at[k] < 0x80 || at[k] > 0xBF)
                return 0;
        return forms[i].bytes;
    }
    return 0;
}

// Marks of direction, and the separators of lines and paragraphs.
static int turns_or_breaks(const unsigned char *at)
{
    static const char marks[][4] = {"\u061C", "\u200E", "\u200F", "\u2028", "\u2029", "\u202A", "\u202B",
                                    "\u202C", "\u202D", "\u202E", "\u2066", "\u2067", "\u2068", "\u2069"};
    for (size_t i = 0; i < sizeof marks / sizeof marks[0]; i++)
        if (strncmp((const char *)at, marks[i], strlen(marks[i])) == 0)
            return 1;
    return 0;
}

static size_t printable_length(const unsigned char *at)
{
    int is_ascii = at[0] < 0x80;
    return !is_ascii && ((at[0] == 0xC2 && at[1] < 0xA0) || turns_or_breaks(at)) ? 0 : character(at);
}

int fuzz_is_printable(const char *text)
{
    const unsigned char *at = (const unsigned char *)text;
    size_t length = 1;
    for (; *at != '\0' && length > 0; at += length)
        length = printable_length(at);
    return *at == '\0' && length > 0;
}

void fuzz_count_place(const char *bytes, size_t offset, int *line, int *column)
{
    size_t begin = offset >= 3 && memcmp(bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    *line = *column = 1;
    for (size_t i = begin; i < offset; i++) {
        int breaks = bytes[i] == '\n' || (bytes[i] == '\r' && bytes[i + 1] != '\n');
        *line += breaks;
        *column = breaks ? 1 : *column + 1;
    }
}

// Lines of JSON end with LF, CR LF or CR alone, those of tables with LF or CR LF.
static int ends_line(const fuzz_named *text, size_t i)
{
    return text->bytes[i] == '\n' || (text->is_json && text->bytes[i] == '\r' && text->bytes[i + 1] != '\n');
}

// A message may point just past the end of a line.
static void check_inside(const fuzz_named *text, const sw_where *where)
{
    size_t offset = 0, begin = text->length >= 3 && memcmp(text->bytes, "\xEF\xBB\xBF", 3) == 0 ? 3 : 0;
    int line = 1;
    for (offset = begin; line < where->line && offset < text->length; offset++)
        line += ends_line(text, offset);
    FUZZ_ASSERT(line == where->line, "%s has no line %d", text->name, where->line);
    size_t end = offset;
    while (end < text->length && text->bytes[end] != '\n' && !ends_line(text, end))
        end++;
    FUZZ_ASSERT((size_t)where->column <= end - offset + 1, "line %d of %s has no column %d", where->line,
                text->name, where->column);
}

// The library shows a question mark for each byte that is not part of a printable character.
static void make_printable(char *text)
{
    while (*text != '\0') {
        size_t length = printable_length((unsigned char *)text);
        if (length == 0)
            *text++ = '?';
        text += length;
    }
}

static int is_place_of(const fuzz_named *text, size_t offset, const sw_where *where)
{
    int line, column;
    fuzz_count_place(text->bytes, offset, &line, &column);
    return line == where->line && column == where->column;
}

// How many values have the path, by writing the pointer of every one: slow and plain. `stands` becomes 1 if
// one of them, or its key, is at the place. Two keys may look alike where they cannot be printed.
static int count_path(const sw_node *node, const fuzz_named *text, const sw_where *where, char *room,
                      int *stands)
{
    int count = 0;
    for (; node != NULL; node = node->next) {
        sw_node_pointer(node, room, PATH_ROOM);
        make_printable(room);
        if (strcmp(room, where->path) == 0) {
            count++;
            *stands |= is_place_of(text, node->offset, where) || is_place_of(text, node->key_offset, where);
        }
        count += count_path(node->first, text, where, room, stands);
    }
    return count;
}

static void check_path(const fuzz_named *text, const sw_where *where)
{
    sw_document *document = NULL;
    FUZZ_ASSERT(where->path[0] == '/', "the path %s does not begin with a slash", where->path);
    if (sw_document_read(text->bytes, text->length, text->name, NULL, &document) != SW_OK)
        return; // a duplicate key: its path is the first one's, its place the second's
    char *room = fuzz_memory(PATH_ROOM);
    int stands = 0, count = count_path(sw_document_root(document), text, where, room, &stands);
    FUZZ_ASSERT(count > 0, "%s has no %s", text->name, where->path);
    FUZZ_ASSERT(stands, "%s does not stand at %s:%d:%d", where->path, text->name, where->line, where->column);
    free(room);
    sw_document_free(document);
}

static void check_where(const sw_where *where, const fuzz_named *texts, size_t count)
{
    FUZZ_ASSERT(where->line >= 0 && where->column >= 0, "a negative place");
    FUZZ_ASSERT(where->column == 0 || where->line > 0, "a column without a line");
    FUZZ_ASSERT(where->file != NULL || where->line == 0, "a line without a file");
    for (size_t i = 0; where->file != NULL && i < count; i++) {
        if (strcmp(texts[i].name, where->file) != 0)
            continue;
        if (where->line > 0)
            check_inside(&texts[i], where);
        if (where->path != NULL && where->line > 0 && texts[i].is_json)
            check_path(&texts[i], where);
        return;
    }
    FUZZ_ASSERT(where->line == 0, "a place in %s, which was not read", where->file);
}

static void check_message(const sw_message *message, fuzz_record *record)
{
    FUZZ_ASSERT(message->what != NULL && message->what[0] != '\0', "a message says nothing");
    FUZZ_ASSERT(fuzz_is_printable(message->what), "a message cannot be printed: %s", message->what);
    FUZZ_ASSERT(message->hint == NULL || (message->hint[0] != '\0' && fuzz_is_printable(message->hint)),
                "a hint is empty or cannot be printed: %s", message->hint);
    FUZZ_ASSERT(message->where.path == NULL || fuzz_is_printable(message->where.path),
                "a path cannot be printed: %s", message->where.path);
    FUZZ_ASSERT((message->severity == SW_ERROR) == (message->status != SW_OK), "a %s of status %d: %s",
                message->severity == SW_ERROR ? "error" : "warning", (int)message->status, message->what);
    int length = sw_message_format(message, NULL, 0);
    char *text = fuzz_memory((size_t)length + 1);
    FUZZ_ASSERT(sw_message_format(message, text, (size_t)length + 1) == length &&
                    strlen(text) == (size_t)length,
                "a message has another length than it says");
    fuzz_note(record, "%s", text);
    free(text);
}

void fuzz_check_said(const sw_messages *messages, sw_status status, const sw_status *statuses,
                     const fuzz_named *texts, size_t count, fuzz_record *record)
{
    size_t errors = 0;
    for (size_t i = 0; i < sw_messages_count(messages); i++) {
        const sw_message *message = sw_messages_at(messages, i);
        check_message(message, record);
        check_where(&message->where, texts, count);
        if (message->severity == SW_ERROR && errors++ == 0)
            FUZZ_ASSERT(message->status == sw_messages_status(messages), "the list has lost its first error");
    }
    FUZZ_ASSERT(errors == sw_messages_errors(messages), "%zu errors are counted as %zu", errors,
                sw_messages_errors(messages));
    FUZZ_ASSERT((status == SW_OK) == (errors == 0), "status %d with %zu errors", (int)status, errors);
    FUZZ_ASSERT(status == SW_OK || status == sw_messages_status(messages), "status %d, first error %d",
                (int)status, (int)sw_messages_status(messages));
    while (*statuses != SW_OK && *statuses != status)
        statuses++;
    FUZZ_ASSERT(*statuses == status, "status %d is not one that the call promises", (int)status);
    fuzz_note(record, "status %d\n", (int)status);
}
