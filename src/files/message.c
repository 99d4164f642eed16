// The list that collects messages, and the one way in which a message becomes text.
#include "stillwatt/message.h"

#include "files/arena.h"
#include "files/plain.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

struct sw_messages {
    sw_arena *arena;
    const sw_message **list; // pointers, so that a message stays where it is while the list grows
    size_t count, room;
    size_t errors, lost;
    sw_status first_error;
};

sw_messages *sw_messages_create(void)
{
    sw_messages *messages = calloc(1, sizeof *messages);
    if (messages == NULL)
        return NULL;
    messages->first_error = SW_OK;
    messages->arena = sw_arena_create();
    if (messages->arena != NULL)
        return messages;
    free(messages);
    return NULL;
}

void sw_messages_free(sw_messages *messages)
{
    if (messages == NULL)
        return;
    sw_arena_free(messages->arena);
    free(messages->list);
    free(messages);
}

static int make_room(sw_messages *messages)
{
    if (messages->count < messages->room)
        return 1;
    size_t room = messages->room == 0 ? 16 : 2 * messages->room;
    const sw_message **list = realloc(messages->list, room * sizeof *list);
    if (list == NULL)
        return 0;
    messages->list = list;
    messages->room = room;
    return 1;
}

// Copies a text that may be absent. Texts quote files, and what a file holds must not steer a terminal: what
// is not plain becomes question marks. Returns 0 only without memory.
static int copy_text(sw_arena *arena, const char *text, const char **copy)
{
    char *plain = text == NULL ? NULL : sw_arena_text(arena, text);
    if (plain != NULL)
        sw_text_make_plain(plain);
    *copy = plain;
    return (text == NULL) == (plain == NULL);
}

static const char *formatted(sw_arena *arena, const char *format, va_list arguments)
{
    va_list again;
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, again);
    va_end(again);
    if (length < 0)
        return sw_arena_text(arena, format);
    char *text = sw_arena_alloc(arena, (size_t)length + 1);
    if (text == NULL)
        return NULL;
    vsnprintf(text, (size_t)length + 1, format, arguments);
    sw_text_make_plain(text);
    return text;
}

static const sw_message *compose(sw_arena *arena, const sw_message *draft, const char *what,
                                 va_list arguments)
{
    sw_message *message = sw_arena_alloc(arena, sizeof *message);
    if (message == NULL)
        return NULL;
    *message = *draft;
    message->what = formatted(arena, what, arguments);
    if (message->what == NULL || !copy_text(arena, draft->hint, &message->hint) ||
        !copy_text(arena, draft->where.file, &message->where.file) ||
        !copy_text(arena, draft->where.path, &message->where.path))
        return NULL;
    return message;
}

// An error counts even if its text could not be kept, so that no reader takes a bad file for a good one.
static void count_error(sw_messages *messages, sw_status status)
{
    if (messages->errors++ == 0)
        messages->first_error = status;
}

sw_status sw_messages_add(sw_messages *messages, sw_severity severity, sw_status status,
                          const sw_where *where, const char *hint, const char *what, va_list arguments)
{
    if (messages == NULL)
        return status;
    sw_message draft = {.severity = severity, .status = status, .hint = hint};
    if (where != NULL)
        draft.where = *where;
    const sw_message *message = NULL;
    if (make_room(messages))
        message = compose(messages->arena, &draft, what, arguments);
    if (message != NULL)
        messages->list[messages->count++] = message;
    else {
        status = SW_NO_MEMORY;
        messages->lost++;
    }
    if (severity == SW_ERROR)
        count_error(messages, status);
    return status;
}

sw_status sw_error(sw_messages *messages, sw_status status, const sw_where *where, const char *hint,
                   const char *what, ...)
{
    va_list arguments;
    va_start(arguments, what);
    status = sw_messages_add(messages, SW_ERROR, status, where, hint, what, arguments);
    va_end(arguments);
    return status;
}

void sw_warn(sw_messages *messages, const sw_where *where, const char *hint, const char *what, ...)
{
    va_list arguments;
    va_start(arguments, what);
    sw_messages_add(messages, SW_WARNING, SW_OK, where, hint, what, arguments);
    va_end(arguments);
}

static int same_text(const char *a, const char *b)
{
    return a == NULL || b == NULL ? a == b : strcmp(a, b) == 0;
}

static int is_in(const sw_messages *messages, const sw_message *m)
{
    for (size_t i = 0; i < messages->count; i++) {
        const sw_message *other = messages->list[i];
        if (other->severity == m->severity && other->where.line == m->where.line &&
            other->where.column == m->where.column && same_text(other->where.file, m->where.file) &&
            same_text(other->where.path, m->where.path) && strcmp(other->what, m->what) == 0)
            return 1;
    }
    return 0;
}

static sw_status repeat(const sw_messages *from, sw_messages *to, int with_warnings)
{
    if (from == NULL)
        return sw_error(to, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for messages");
    for (size_t i = 0; i < sw_messages_count(from); i++) {
        const sw_message *m = sw_messages_at(from, i);
        if (m->severity == SW_ERROR)
            sw_error(to, m->status, &m->where, m->hint, "%s", m->what);
        else if (with_warnings && !is_in(to, m))
            sw_warn(to, &m->where, m->hint, "%s", m->what);
    }
    return sw_messages_status(from);
}

sw_status sw_messages_repeat_errors(const sw_messages *from, sw_messages *to)
{
    return repeat(from, to, 0);
}

sw_status sw_messages_repeat(const sw_messages *from, sw_messages *to)
{
    return repeat(from, to, 1);
}

size_t sw_messages_count(const sw_messages *messages)
{
    return messages->count;
}

size_t sw_messages_errors(const sw_messages *messages)
{
    return messages->errors;
}

size_t sw_messages_lost(const sw_messages *messages)
{
    return messages->lost;
}

const sw_message *sw_messages_at(const sw_messages *messages, size_t index)
{
    return index < messages->count ? messages->list[index] : NULL;
}

sw_status sw_messages_status(const sw_messages *messages)
{
    return messages->first_error;
}

int sw_message_format(const sw_message *message, char *buffer, size_t size)
{
    const sw_where *where = &message->where;
    char numbers[32] = "";
    if (where->line > 0 && where->column > 0)
        snprintf(numbers, sizeof numbers, ":%d:%d", where->line, where->column);
    else if (where->line > 0)
        snprintf(numbers, sizeof numbers, ":%d", where->line);
    const char *file = where->file != NULL ? where->file : "";
    const char *after_file = where->file == NULL && where->line > 0 ? numbers + 1 : numbers;
    const char *place_end = where->file != NULL || where->line > 0 ? ": " : "";
    const char *path = where->path != NULL ? where->path : "";
    const char *path_end = where->path != NULL ? ": " : "";
    const char *hint = message->hint != NULL ? message->hint : "";
    const char *hint_start = message->hint != NULL ? "    " : "";
    const char *hint_end = message->hint != NULL ? "\n" : "";
    return snprintf(buffer, size, "%s%s%s%s%s%s\n%s%s%s", file, after_file, place_end, path, path_end,
                    message->what, hint_start, hint, hint_end);
}
