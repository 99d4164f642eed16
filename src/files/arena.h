// Memory that grows piece by piece and is released all at once: for texts and trees that live and die
// together.
#ifndef SW_FILES_ARENA_H
#define SW_FILES_ARENA_H

#include <stddef.h>

typedef struct sw_arena sw_arena;

/// @return an empty arena, NULL without memory; release with sw_arena_free
sw_arena *sw_arena_create(void);

/// Releases the arena and everything taken from it. NULL is allowed.
void sw_arena_free(sw_arena *arena);

/// @return `size` zeroed bytes, aligned for any type and at an address of their own even for size 0; NULL
/// without memory, which leaves the arena as it was
void *sw_arena_alloc(sw_arena *arena, size_t size);

/// @return a copy of a text, NULL without memory
char *sw_arena_text(sw_arena *arena, const char *text);

#endif
