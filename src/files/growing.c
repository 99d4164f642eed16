// A text that grows at its end.
#include "files/growing.h"

#include <stdlib.h>
#include <string.h>

#define FIRST_ROOM 4096

int sw_growing_room(sw_growing *g, size_t more)
{
    if (g->failed)
        return 0;
    if (g->length + more + 1 <= g->room)
        return 1;
    size_t room = g->room == 0 ? FIRST_ROOM : g->room;
    while (room < g->length + more + 1)
        room *= 2;
    char *grown = realloc(g->text, room);
    if (grown == NULL) {
        g->failed = 1;
        return 0;
    }
    g->text = grown;
    g->room = room;
    return 1;
}

void sw_growing_add(sw_growing *g, const char *text)
{
    size_t length = strlen(text);
    if (!sw_growing_room(g, length))
        return;
    memcpy(g->text + g->length, text, length);
    g->length += length;
}

sw_status sw_growing_take(sw_growing *g, char **out)
{
    if (sw_growing_room(g, 0)) {
        g->text[g->length] = '\0';
        *out = g->text;
        return SW_OK;
    }
    free(g->text);
    *out = NULL;
    return SW_NO_MEMORY;
}
