// What a check over many lines of text has found wrong, gathered so that one run tells all of it.
#ifndef SW_TESTS_SUPPORT_COMPLAINTS_H
#define SW_TESTS_SUPPORT_COMPLAINTS_H

#include <stddef.h>

typedef struct complaints {
    int count;
    size_t used;
    char text[1 << 16]; ///< a line each; what does not fit is counted only
} complaints;

void complain_at(complaints *c, const char *file, int line, const char *format, ...)
    __attribute__((format(printf, 4, 5)));

#endif
