/// Scanning of delimited text in place: numbers and fields, independent of the locale, never past the end
/// given.
#ifndef STILLWATT_WEATHER_SPAN_H
#define STILLWATT_WEATHER_SPAN_H

#include <stddef.h>

/// A stretch of text: not terminated, not owned.
typedef struct sw_span {
    const char *at, *end;
} sw_span;

/// Takes the next line off the front of `rest`, without its LF or CRLF. @return 0 when nothing is left
int sw_span_line(sw_span *rest, sw_span *line);

/// Takes the next field off the front of `rest`, up to `separator` or the end. The last one leaves rest->at
/// NULL.
/// @return 0 when nothing is left
int sw_span_field(sw_span *rest, char separator, sw_span *field);

/// The stretch without blanks (space, tab, carriage return) at both ends.
sw_span sw_span_trim(sw_span span);

/// Whether the stretch begins with a word, in capitals or not.
int sw_span_begins(sw_span span, const char *word);

/// Reads a decimal number ("-12", "0.35", ".999", "1e3") that fills the whole stretch, blanks around it
/// apart. Correct to the last bit up to 15 digits and powers of ten within 22, to a few units in the last
/// place beyond.
/// @return 1, or 0 with `out` untouched if it is not a finite number
int sw_span_number(sw_span span, double *out);

/// Reads exactly `count` digits (at most 9). @return where it ends, NULL if `at` is NULL or a digit is none
const char *sw_span_digits(const char *at, int count, int *out);

/// Copies the stretch for use in a message or as a name: terminated, cut to `size` at a whole character,
/// UTF-8 (bytes that are not are taken for Latin-1), control bytes as blanks.
void sw_span_copy(sw_span span, char *out, size_t size);

#endif
