// Writes JSON text as people lay it out: two spaces a level, short lists on one line.
#ifndef SW_FILES_JSON_WRITE_H
#define SW_FILES_JSON_WRITE_H

#include "files/growing.h"

typedef struct sw_json_writer {
    sw_growing out;
    int depth;
    int opened; // nothing stands in the innermost object or list yet
} sw_json_writer;

/// `key` is NULL in a list and at the root. Texts are UTF-8 without control characters.
void sw_json_open(sw_json_writer *w, const char *key, char bracket);
void sw_json_close(sw_json_writer *w, char bracket);
void sw_json_text(sw_json_writer *w, const char *key, const char *text);
/// At most nine decimals.
void sw_json_number(sw_json_writer *w, const char *key, double number);
/// JSON text that stays as it is, and a list of one such value.
void sw_json_raw(sw_json_writer *w, const char *key, const char *json);
void sw_json_raw_list(sw_json_writer *w, const char *key, const char *json);

/// A text in pieces: sw_json_begin_text, sw_json_piece as often as needed, sw_json_end_text.
void sw_json_begin_text(sw_json_writer *w, const char *key);
void sw_json_piece(sw_json_writer *w, const char *text);
void sw_json_end_text(sw_json_writer *w);

/// A list of texts on one line, in pieces likewise.
void sw_json_begin_words(sw_json_writer *w, const char *key);
void sw_json_word(sw_json_writer *w, const char *word);
void sw_json_end_words(sw_json_writer *w);

/// Ends the text with a line break and gives it away, to be released with free(). @return SW_OK or
/// SW_NO_MEMORY
sw_status sw_json_take(sw_json_writer *w, char **out);

#endif
