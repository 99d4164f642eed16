// A growing text.
#include "report/page.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int make_room(page *p, size_t more)
{
    if (p->failed)
        return 0;
    if (p->length + more + 1 <= p->room)
        return 1;
    size_t room = p->room == 0 ? 4096 : p->room;
    while (room < p->length + more + 1)
        room *= 2;
    char *grown = realloc(p->text, room);
    if (grown == NULL) {
        p->failed = 1;
        return 0;
    }
    p->text = grown;
    p->room = room;
    return 1;
}

void page_add(page *p, const char *format, ...)
{
    va_list arguments, again;
    va_start(arguments, format);
    va_copy(again, arguments);
    int length = vsnprintf(NULL, 0, format, arguments);
    if (length > 0 && make_room(p, (size_t)length)) {
        vsnprintf(p->text + p->length, (size_t)length + 1, format, again);
        p->length += (size_t)length;
    }
    va_end(again);
    va_end(arguments);
}

int page_columns(const char *text)
{
    int columns = 0;
    for (; *text != '\0'; text++)
        columns += ((unsigned char)*text & 0xC0) != 0x80;
    return columns;
}

void page_wrap(page *p, int width, const char *first, const char *rest, const char *text)
{
    int column = page_columns(first);
    int begun = 0;
    page_add(p, "%s", first);
    while (*text != '\0') {
        size_t length = strcspn(text, " ");
        char word[256];
        snprintf(word, sizeof word, "%.*s", (int)length, text);
        int columns = page_columns(word);
        if (begun && column + 1 + columns > width) {
            page_add(p, "\n%s", rest);
            column = page_columns(rest);
            begun = 0;
        }
        page_add(p, "%s%s", begun ? " " : "", word);
        column += columns + begun;
        begun = 1;
        text += length;
        text += strspn(text, " ");
    }
    page_add(p, "\n");
}

sw_status page_take(page *p, char **out)
{
    if (make_room(p, 0)) {
        p->text[p->length] = '\0';
        *out = p->text;
        return SW_OK;
    }
    free(p->text);
    *out = NULL;
    return SW_NO_MEMORY;
}
