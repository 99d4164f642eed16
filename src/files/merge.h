// JSON Merge Patch [rfc-7396] on trees of nodes that keep their places.
#ifndef SW_FILES_MERGE_H
#define SW_FILES_MERGE_H

#include "files/arena.h"
#include "stillwatt/document.h"

/// What a patch makes of a value. Every node of the answer is that of the document it comes from, with its
/// place and its file, so that messages point at the line that somebody wrote.
/// @param base NULL: there is nothing yet. Base and patch must outlive the answer.
/// @return in the arena, or base or patch themselves; NULL without memory
const sw_node *sw_node_merge(const sw_node *base, const sw_node *patch, sw_arena *arena);

#endif
