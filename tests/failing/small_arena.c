// An arena in place of the library's own, with an allocation of its own for each piece, so that each can
// fail: in the library's arena only the first piece of a chunk can.
#include "files/arena.h"

#include <stdalign.h>
#include <stddef.h>
#include <stdlib.h>
#include <string.h>

struct piece {
    struct piece *older;
    max_align_t bytes[];
};

struct sw_arena {
    struct piece *newest;
};

sw_arena *sw_arena_create(void)
{
    return calloc(1, sizeof(sw_arena));
}

void sw_arena_free(sw_arena *arena)
{
    while (arena != NULL && arena->newest != NULL) {
        struct piece *older = arena->newest->older;
        free(arena->newest);
        arena->newest = older;
    }
    free(arena);
}

void *sw_arena_alloc(sw_arena *arena, size_t size)
{
    struct piece *piece = calloc(1, sizeof *piece + size);
    if (piece == NULL)
        return NULL;
    piece->older = arena->newest;
    arena->newest = piece;
    return piece->bytes;
}

char *sw_arena_text(sw_arena *arena, const char *text)
{
    char *copy = sw_arena_alloc(arena, strlen(text) + 1);
    return copy == NULL ? NULL : strcpy(copy, text);
}
