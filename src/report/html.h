// Pages of HTML that stand alone: one style, one small script, nothing from elsewhere.
#ifndef SW_REPORT_HTML_H
#define SW_REPORT_HTML_H

#include "report/page.h"

/// What the policy of a page lets run, and what it looks like: SHA-256 of the two in base 64, as a browser
/// reckons them. A test reckons them anew.
#define HTML_STYLE_HASH  "sha256-OE2CO8hlGI2NIm/oAAFVaR6N/Hei2MZlBdFdrkm9xYU="
#define HTML_SCRIPT_HASH "sha256-lIa4CbValgHD7SxXMMWqoQjwpiuxZpV3O9Pzd+CvXQQ="

/// Begins a page up to its body, with a policy that forbids all that comes from elsewhere.
void sw_html_open(page *p, const char *title);
/// Ends it, with the script.
void sw_html_close(page *p);

/// An element with text in it, which is escaped. @param name its class; NULL: none
void sw_html_element(page *p, const char *element, const char *name, const char *text);
/// The same of a text made on a page of its own, which is used up; nothing if it is empty.
void sw_html_take(page *p, const char *element, const char *name, page *text);

/// A cell of a table; `is_head` of its row or column.
void sw_html_cell(page *p, int is_head, const char *format, ...) __attribute__((format(printf, 3, 4)));

/// The text as it may stand in a script of data, between quotes.
void sw_html_quoted(page *p, const char *text);

#endif
