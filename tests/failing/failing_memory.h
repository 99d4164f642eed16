// Memory that fails on purpose: this executable's own malloc, calloc, realloc and free in front of the C
// library's. They catch the library's allocations as well as those of cJSON, strdup and stdio.
#ifndef SW_TESTS_FAILING_MEMORY_H
#define SW_TESTS_FAILING_MEMORY_H

#include <stddef.h>

typedef enum failing_how {
    FAIL_ONE, ///< only the nth allocation fails
    FAIL_ON   ///< the nth fails, and all after it
} failing_how;

/// True where allocations can be made to fail; otherwise (a sanitizer has its own malloc) prints one line
/// that says so.
int failing_memory_present(void);

/// From here allocations are counted from 1 and the nth fails. `nth` 0: none.
void failing_memory_begin(long nth, failing_how how);

/// Ends what began. @return how many allocations were asked for
long failing_memory_end(void);

/// How many allocations are alive in the whole process.
long failing_memory_alive(void);

#endif
