// What one reading of a set of files carries along: documents, messages, memory, and the list of what was
// assumed.
#ifndef SW_FILES_READING_H
#define SW_FILES_READING_H

#include "files/arena.h"
#include "stillwatt/document.h"
#include "stillwatt/loader.h"
#include "stillwatt/plan.h"

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

/// Adds an error at a node (or its key) and marks the reading as failed. `node` may be NULL: then without a
/// place.
void sw_reader_error(sw_reader *reader, const sw_node *node, int at_key, const char *hint, const char *what,
                     ...) __attribute__((format(printf, 5, 6)));

/// Marks the reading as failed for want of memory.
void sw_reader_no_memory(sw_reader *reader);

/// Lists a value that was derived, not given.
void sw_assume(sw_reader *reader, const char *path, const char *key, const char *says, const char *mark,
               double *at, sw_dimension dimension, double low, double high);

/// Lists a word that nobody gave; empty if `says` says it all.
void sw_assume_word(sw_reader *reader, const char *path, const char *key, const char *says, const char *mark,
                    const char *word);

/// Takes the assumption at a path off the list; nothing if there is none. `path` may be NULL.
void sw_reader_forget(sw_reader *reader, const char *path);

/// "; did you mean "x"?" for a word that is spelt like a known one, else "": the end of a message about it.
const char *sw_reader_guess(sw_reader *reader, const char *word, const char *const *known, size_t count);

/// printf into the arena. @return NULL without memory (the reading is marked as failed)
const char *sw_reader_text(sw_reader *reader, const char *format, ...) __attribute__((format(printf, 2, 3)));

#endif
