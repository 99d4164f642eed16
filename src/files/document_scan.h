// The strict scanner of JSON text: it judges the text, notes where every value stands, and leaves a text for
// the parser.
#ifndef SW_FILES_DOCUMENT_SCAN_H
#define SW_FILES_DOCUMENT_SCAN_H

#include "stillwatt/status.h"

#include <stddef.h>
#include <stdint.h>

/// Where one value stands. 32 bits are enough for SW_DOCUMENT_MAX_BYTES.
typedef struct sw_spot {
    uint32_t offset;
    uint32_t key_offset; ///< of its key; of the value itself where there is no key
    double number;       ///< of a number; otherwise 0
} sw_spot;

/// What a scan came to. `spots` are in the order of the text, a container before what it holds.
typedef struct sw_scan {
    sw_spot *spots;
    size_t count, room;
    size_t error_offset; ///< after SW_BAD_INPUT, with `what` and `hint`
    char what[160];
    const char *hint; ///< static
} sw_scan;

/// Checks a text against RFC 8259 (comments and a byte order mark besides) and against what the house
/// refuses: NUL, lone surrogates, nesting deeper than SW_DOCUMENT_MAX_DEPTH, numbers that no double can
/// carry. Duplicate keys are not looked for. On success comments and the mark in `text` have become blanks
/// and each number a 0 and blanks: its value is in the spot, so that no parser, which would ask the locale
/// for a decimal point, has to read it.
/// @param text text[length] must be NUL
/// @return SW_OK, SW_BAD_INPUT or SW_NO_MEMORY; in each case release with sw_scan_free
sw_status sw_scan_text(char *text, size_t length, sw_scan *scan);
void sw_scan_free(sw_scan *scan);

#endif
