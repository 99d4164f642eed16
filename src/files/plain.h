// Characters of UTF-8, and which of them may be shown to people.
#ifndef SW_FILES_PLAIN_H
#define SW_FILES_PLAIN_H

#include <stddef.h>

/// Bytes of the character that begins here, 0 if it is not well formed: the table of RFC 3629 section 4. NUL
/// is none.
/// @param left bytes up to the end of the text, at least 1
size_t sw_utf8_length(const char *at, size_t left);

/// As sw_utf8_length, but 0 also for characters that are no part of a line of text: control characters and
/// the separators U+2028 and U+2029 break lines or recolour terminals, and the marks of direction (U+061C,
/// U+200E, U+200F, U+202A to U+202E, U+2066 to U+2069) could show words in another order than they stand in.
size_t sw_plain_length(const char *at, size_t left);

/// Replaces each byte of a text that is not part of a plain character by a question mark.
void sw_text_make_plain(char *text);

#endif
