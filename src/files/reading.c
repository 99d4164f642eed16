// What a reading says and keeps: errors at nodes, texts in its memory, and the list of what was assumed.
#include "files/reading.h"

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
    va_list arguments;
    va_start(arguments, format);
    int length = vsnprintf(NULL, 0, format, arguments);
    va_end(arguments);
    char *text = length >= 0 ? sw_arena_alloc(reader->arena, (size_t)length + 1) : NULL;
    if (text == NULL) {
        sw_reader_no_memory(reader);
        return NULL;
    }
    va_start(arguments, format);
    vsnprintf(text, (size_t)length + 1, format, arguments);
    va_end(arguments);
    return text;
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

void sw_reader_forget(sw_reader *reader, const char *path)
{
    int kept = 0;
    for (int i = 0; i < reader->assumptions; i++)
        if (path == NULL || strcmp(reader->assumption[i].path, path) != 0)
            reader->assumption[kept++] = reader->assumption[i];
    reader->assumptions = kept;
}
