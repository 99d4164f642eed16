// Files read in one piece.
#ifndef SW_TESTS_SUPPORT_WHOLE_FILE_H
#define SW_TESTS_SUPPORT_WHOLE_FILE_H

#include <stddef.h>
#include <stdio.h>

/// A whole file in memory, ended by a 0; released with free(). NULL if it cannot be read.
/// @param length without that 0; may be NULL
char *read_whole_file(const char *path, size_t *length);

/// The same of what is left of a stream that is open.
char *read_whole_stream(FILE *stream, size_t *length);

#endif
