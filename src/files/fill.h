// Fills a struct from the objects of documents by a key table: strongest layer first, then weaker ones, then
// the default.
#ifndef SW_FILES_FILL_H
#define SW_FILES_FILL_H

#include "files/keys.h"
#include "files/reading.h"

#define SW_LAYERS_MAX 4
/// Objects to look a key up in, strongest first. Any of them may be NULL.
typedef struct sw_layers {
    const sw_node *object[SW_LAYERS_MAX];
    int count;
    int incomplete;   // a layer could not be read, which was told: needed keys may have stood in it
    const char *path; // what assumptions call this object, such as "van /battery"
} sw_layers;

/// Fills `out` by the table. Unknown keys, missing keys, wrong values become messages; all keys are looked
/// at.
void sw_fill(sw_reader *reader, const sw_table *table, const sw_layers *layers, void *out);

/// The strongest layer's value of a key; NULL if none has it.
const sw_node *sw_layers_find(const sw_layers *layers, const char *key);

/// Checks that a node is an object with only keys of the table; NULL is fine.
/// @return 0 if it is no object; unknown keys are told, but the object can be read all the same
int sw_check_keys(sw_reader *reader, const sw_table *table, const sw_node *object);

#endif
