// A growing text, with wrapping for the width of a terminal.
#ifndef SW_REPORT_PAGE_H
#define SW_REPORT_PAGE_H

#include "files/growing.h"

#include <stdarg.h>

/// What sw_growing_take gives away in the end.
typedef sw_growing page;

/// Adds formatted text.
void sw_page_add(page *p, const char *format, ...) __attribute__((format(printf, 2, 3)));

/// The same with the arguments in a list.
void sw_page_add_list(page *p, const char *format, va_list arguments) __attribute__((format(printf, 2, 0)));

/// Adds one paragraph broken at blanks: the first line begins with `first`, the others with `rest`.
void sw_page_wrap(page *p, int width, const char *first, const char *rest, const char *text);

/// The same of a paragraph made on a page of its own, which is used up.
void sw_page_wrap_page(page *p, int width, const char *first, const char *rest, page *paragraph);

/// Adds what stands within quotes in a field of CSV (RFC 4180): quotes are doubled, and no control character
/// breaks the row.
void sw_page_quoted(page *p, const char *text);

/// How many lines a text has, each ended by "\n"; NULL has none.
int sw_page_lines(const char *text);

/// Adds text for XML or HTML: the five characters that these read as their own are written as names.
void sw_page_escaped(page *p, const char *text);

/// Columns that a UTF-8 text takes: one a character, two for the wide characters of East Asia and pictures.
int sw_page_columns(const char *text);

/// Adds a text, one that is wider than `columns` cut with dots at its end, never inside a character.
void sw_page_cut(page *p, const char *text, int columns);

/// Adds a text cut or padded with blanks to a width, never inside a character.
void sw_page_cell(page *p, const char *text, int columns);

#endif
