// What every message must keep, whatever the input was.
#ifndef SW_TESTS_FUZZ_SUPPORT_SAID_H
#define SW_TESTS_FUZZ_SUPPORT_SAID_H

#include "fuzz/support/fuzz.h"
#include "stillwatt/message.h"

/// A text under the name that messages use for it.
typedef struct fuzz_named {
    const char *name;
    const char *bytes;
    size_t length;
    int is_json; ///< its paths are JSON Pointers, and the place is that of the value or its key
} fuzz_named;

/// True for whole characters of UTF-8 (no overlong forms, no surrogates) without control characters and marks
/// that turn the direction of text: what can be printed.
int fuzz_is_printable(const char *text);

/// Line and column of an offset, counted byte by byte: a second reckoning beside the library's own.
void fuzz_count_place(const char *bytes, size_t offset, int *line, int *column);

/// Asserts what message.h promises: a failure says at least one thing and its status is that of the first
/// error and among those the call names; texts are whole, printable and not empty; a place lies in the text
/// it names, and where a path is given it is the path's place. Notes everything in the record.
/// @param statuses ended by SW_OK: what may be returned besides SW_OK
void fuzz_check_said(const sw_messages *messages, sw_status status, const sw_status *statuses,
                     const fuzz_named *texts, size_t count, fuzz_record *record);

#endif
