// Readers of single values; see values.c.
#ifndef SW_FILES_VALUES_H
#define SW_FILES_VALUES_H

#include "files/keys.h"
#include "files/reading.h"

/// Reads the value of a key into its place; what is wrong becomes a message and leaves the place as it was.
void sw_value_read(sw_reader *reader, const sw_key *key, const sw_node *node, char *at);

/// The key of a named thing (a load, an array, a place), as its name; an empty one, or one with characters
/// that would upset a terminal, becomes a message. @return empty without memory
const char *sw_name_read(sw_reader *reader, const sw_node *node);

/// "for example "capacity": "100 Ah"", in the reader's arena.
const char *sw_key_hint(sw_reader *reader, const sw_key *key);
/// A limit or default of a quantity as people write it, with as many digits as it needs to be read as the
/// same.
void sw_key_write(const sw_key *key, double value, char *buffer, size_t size);
/// The word of a choice's value.
const char *sw_key_word(const sw_key *key, int value);
/// "a number", "a list" and so on.
const char *sw_json_type_says(sw_json_type type);

/// Reads "18:00-22:30". @return 1 or 0
int sw_window_parse(const char *text, int *from_min, int *to_min);
/// Reads "07:15" (24:00 allowed if `end`). @return minutes since midnight or -1
int sw_clock_parse(const char *text, int end);

#endif
