// The arena is a list of zeroed chunks, each twice as large as the one before up to a limit.
#include "files/arena.h"

#include <stdalign.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

enum { FIRST_CHUNK = 4096, LARGEST_CHUNK = 1 << 20 };

struct chunk {
    struct chunk *older;
    size_t used, size;
    max_align_t bytes[];
};

struct sw_arena {
    struct chunk *newest;
    size_t next_size;
};

sw_arena *sw_arena_create(void)
{
    sw_arena *arena = calloc(1, sizeof *arena);
    if (arena != NULL)
        arena->next_size = FIRST_CHUNK;
    return arena;
}

void sw_arena_free(sw_arena *arena)
{
    if (arena == NULL)
        return;
    while (arena->newest != NULL) {
        struct chunk *older = arena->newest->older;
        free(arena->newest);
        arena->newest = older;
    }
    free(arena);
}

static struct chunk *add_chunk(sw_arena *arena, size_t at_least)
{
    size_t size = at_least > arena->next_size ? at_least : arena->next_size;
    struct chunk *chunk = calloc(1, sizeof *chunk + size);
    if (chunk == NULL)
        return NULL;
    chunk->size = size;
    chunk->older = arena->newest;
    arena->newest = chunk;
    if (arena->next_size < LARGEST_CHUNK)
        arena->next_size *= 2;
    return chunk;
}

void *sw_arena_alloc(sw_arena *arena, size_t size)
{
    const size_t unit = alignof(max_align_t);
    if (size > SIZE_MAX / 2)
        return NULL;
    size_t rounded = size == 0 ? unit : (size + unit - 1) / unit * unit;
    struct chunk *chunk = arena->newest;
    if (chunk == NULL || chunk->size - chunk->used < rounded)
        chunk = add_chunk(arena, rounded);
    if (chunk == NULL)
        return NULL;
    void *bytes = (char *)chunk->bytes + chunk->used;
    chunk->used += rounded;
    return bytes;
}

char *sw_arena_text(sw_arena *arena, const char *text)
{
    size_t size = strlen(text) + 1;
    char *copy = sw_arena_alloc(arena, size);
    return copy == NULL ? NULL : memcpy(copy, text, size);
}
