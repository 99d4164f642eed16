// Rows of keys that become the commented objects of a drafted file.
#ifndef SW_REPORT_DRAFT_ROWS_H
#define SW_REPORT_DRAFT_ROWS_H

#include "report/draft_files.h"
#include "report/page.h"

/// One key. Its value is a JSON text that never changes, or made from the answers, or grows with the people.
typedef struct draft_row {
    const char *key; ///< NULL ends the rows
    const char *value;
    void (*make)(page *p, const draft_answers *a);
    double base, per_person;
    const char *unit; ///< of base + per_person x people; NULL: a bare number
    const char *says; ///< comment beside it, NULL for none
} draft_row;

#define DRAFT_FIXED(key_, value_, says_)                                                                     \
    {                                                                                                        \
        .key = (key_), .value = (value_), .says = (says_)                                                    \
    }
#define DRAFT_MADE(key_, make_, says_)                                                                       \
    {                                                                                                        \
        .key = (key_), .make = (make_), .says = (says_)                                                      \
    }
#define DRAFT_GROWS(key_, base_, person_, unit_, says_)                                                      \
    {                                                                                                        \
        .key = (key_), .base = (base_), .per_person = (person_), .unit = (unit_), .says = (says_)            \
    }

/// An object that some answers call for.
typedef struct draft_object {
    const char *group; ///< the map of named things that it is the first of; NULL: none
    const char *name;
    int (*wanted)(const draft_answers *a); ///< NULL: always
    const char *says;                      ///< a paragraph above it
    const draft_row *rows;
} draft_object;

/// Adds text as a JSON string (RFC 8259): quotes, backslashes and control characters escaped, UTF-8 kept.
void sw_draft_quote(page *p, const char *text);

/// Adds a paragraph as // lines of at most 80 columns.
void sw_draft_comment(page *p, int indent, const char *text);

/// Adds an object with the paragraph above it, if it is wanted. Nothing follows its closing brace.
/// @return 1 if it was wanted
int sw_draft_add_object(page *p, int indent, const draft_object *object, const draft_answers *a);

/// Adds rows, one a line; a comma follows the last one if `more`.
void sw_draft_add_rows(page *p, int indent, const draft_row *rows, const draft_answers *a, int more);

/// Adds the "loads" of a van.
void sw_draft_add_loads(page *p, const draft_answers *a);

/// Adds a temperature as a JSON text in the units of the answers.
void sw_draft_temperature(page *p, double celsius, const draft_answers *a);

/// Adds the answers that went into a file (DRAFT_VAN or DRAFT_TRIP), with a mark on those that nobody gave.
void sw_draft_add_answers(page *p, unsigned file, const draft_answers *a);

#endif
