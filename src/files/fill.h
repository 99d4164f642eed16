// Fills a struct from the objects of documents by a key table: strongest layer first, then weaker ones, then
// the default.
#ifndef SW_FILES_FILL_H
#define SW_FILES_FILL_H

#include "files/arena.h"
#include "files/keys.h"
#include "stillwatt/document.h"
#include "stillwatt/loader.h"

#define SW_LAYERS_MAX    4
#define SW_DOCUMENTS_MAX 128

/// What one reading of a set of files carries along. Documents and arena live until the plan is made.
typedef struct sw_reader {
    const sw_loader *loader;
    sw_messages *messages;
    sw_arena *arena;
    sw_document *document[SW_DOCUMENTS_MAX];
    int documents;
    sw_assumption *assumption; // grows in the arena
    int assumptions, assumption_room;
    char currency[4];
    int failed; // set by every error, so that no plan is made of half-read files
} sw_reader;

/// Objects to look a key up in, strongest first. Any of them may be NULL.
typedef struct sw_layers {
    const sw_node *object[SW_LAYERS_MAX];
    int count;
    int incomplete;   // a layer could not be read, which was told: needed keys may have stood in it
    const char *path; // what assumptions call this object, such as "van /battery"
} sw_layers;

/// Adds an error at a node (or its key) and marks the reading as failed. `node` may be NULL: then without a
/// place.
void sw_reader_error(sw_reader *reader, const sw_node *node, int at_key, const char *hint, const char *what,
                     ...) __attribute__((format(printf, 5, 6)));

/// Marks the reading as failed for want of memory.
void sw_reader_no_memory(sw_reader *reader);

/// Fills `out` by the table. Unknown keys, missing keys, wrong values become messages; all keys are looked
/// at.
void sw_fill(sw_reader *reader, const sw_table *table, const sw_layers *layers, void *out);

/// The strongest layer's value of a key; NULL if none has it.
const sw_node *sw_layers_find(const sw_layers *layers, const char *key);

/// Checks that a node is an object with only keys of the table; NULL is fine.
/// @return 0 if it is no object; unknown keys are told, but the object can be read all the same
int sw_check_keys(sw_reader *reader, const sw_table *table, const sw_node *object);

/// Lists a value that was derived, not given.
void sw_assume(sw_reader *reader, const char *path, const char *key, const char *says, const char *mark,
               double *at, sw_dimension dimension, double low, double high);

/// Lists a word that nobody gave; empty if `says` says it all.
void sw_assume_word(sw_reader *reader, const char *path, const char *key, const char *says, const char *mark,
                    const char *word);

/// "; did you mean "x"?" for a word that is spelt like a known one, else "": the end of a message about it.
const char *sw_reader_guess(sw_reader *reader, const char *word, const char *const *known, size_t count);

/// printf into the arena. @return NULL without memory (the reading is marked as failed)
const char *sw_reader_text(sw_reader *reader, const char *format, ...) __attribute__((format(printf, 2, 3)));

/// Reads "18:00-22:30". @return 1 or 0
int sw_window_parse(const char *text, int *from_min, int *to_min);
/// Reads "07:15" (24:00 allowed if `end`). @return minutes since midnight or -1
int sw_clock_parse(const char *text, int end);

#endif
