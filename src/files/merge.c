// Merge patches: members of the patch replace those of the base, objects member by member, null takes away.
// cJSON has patches too, but what it makes has forgotten where it stood.
#include "files/merge.h"

/// Members being strung together.
typedef struct chain {
    sw_arena *arena;
    const sw_node **link; // where the next one's address belongs
    size_t count;
    int failed;
} chain;

/* Adds a copy, as siblings are linked within. */
static void append(chain *c, const sw_node *member)
{
    sw_node *copy = member != NULL ? sw_arena_alloc(c->arena, sizeof *copy) : NULL;
    if (copy == NULL) {
        c->failed = 1;
        return;
    }
    *copy = *member;
    copy->next = NULL;
    copy->index = c->count++;
    *c->link = copy;
    c->link = &copy->next;
}

/* An object of the patch keeps no null, however deep; a list is taken as it is. Objects are nested no deeper
   than SW_DOCUMENT_MAX_DEPTH. */
const sw_node *sw_node_merge(const sw_node *base, const sw_node *patch,
                             sw_arena *arena) // NOLINT(misc-no-recursion)
{
    if (patch->type != SW_JSON_OBJECT)
        return patch;
    int is_object = base != NULL && base->type == SW_JSON_OBJECT;
    sw_node *out = sw_arena_alloc(arena, sizeof *out);
    if (out == NULL)
        return NULL;
    *out = is_object ? *base : *patch;
    out->first = NULL;
    chain c = {arena, &out->first, 0, 0};
    for (const sw_node *member = is_object ? base->first : NULL; member != NULL; member = member->next) {
        const sw_node *change = sw_node_member(patch, member->key);
        if (change == NULL)
            append(&c, member);
        else if (change->type != SW_JSON_NULL)
            append(&c, sw_node_merge(member, change, arena));
    }
    for (const sw_node *member = patch->first; member != NULL; member = member->next)
        if (member->type != SW_JSON_NULL && (!is_object || sw_node_member(base, member->key) == NULL))
            append(&c, sw_node_merge(NULL, member, arena));
    return c.failed ? NULL : out;
}
