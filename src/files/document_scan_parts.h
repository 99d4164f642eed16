// What the parts of the scanner share: its state, and the calls between grammar, tokens and complaints.
#ifndef SW_FILES_DOCUMENT_SCAN_PARTS_H
#define SW_FILES_DOCUMENT_SCAN_PARTS_H

#include "files/document_scan.h"
#include "stillwatt/document.h"

/// What may stand at the next place of the text.
typedef enum sw_expect {
    SW_EXPECT_ROOT,
    SW_EXPECT_FIRST_ITEM, ///< just after [
    SW_EXPECT_ITEM,       ///< after a comma in an array
    SW_EXPECT_FIRST_KEY,  ///< just after {
    SW_EXPECT_KEY,        ///< after a comma in an object
    SW_EXPECT_COLON,
    SW_EXPECT_MEMBER, ///< the value of a key
    SW_EXPECT_NEXT_ITEM,
    SW_EXPECT_NEXT_MEMBER,
    SW_EXPECT_END
} sw_expect;

typedef struct sw_scanner {
    char *text;
    size_t length, at;
    sw_expect expect;
    char closers[SW_DOCUMENT_MAX_DEPTH]; ///< of the open containers, the innermost last
    int depth;
    size_t key_offset; ///< of the key whose value is due
    size_t comma;      ///< the last comma between values
    size_t value_end;  ///< just after the last value
    int after_number;  ///< the last value is a number
    sw_scan *scan;
} sw_scanner;

/// Notes the error. @return SW_BAD_INPUT
sw_status sw_scan_fail(sw_scanner *scanner, size_t offset, const char *hint, const char *what, ...)
    __attribute__((format(printf, 4, 5)));

/// Complains that something else was expected at this place. @return SW_BAD_INPUT
sw_status sw_scan_unexpected(sw_scanner *scanner);

/// Checks that the whole text is UTF-8 (RFC 3629) without NUL.
sw_status sw_scan_encoding(sw_scanner *scanner);

/// Passes over blanks and comments; blanks the comments.
sw_status sw_scan_space(sw_scanner *scanner);

/// Passes over a string or a number that begins here.
sw_status sw_scan_string(sw_scanner *scanner);
sw_status sw_scan_number(sw_scanner *scanner, double *number);

/// Length of the run of letters, digits and _ at a place.
size_t sw_scan_word(const sw_scanner *scanner, size_t offset);

#endif
