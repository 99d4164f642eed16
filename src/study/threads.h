// The threads that many rehearsals run on, where the compiler has OpenMP; otherwise one after the other.
#ifndef SW_STUDY_THREADS_H
#define SW_STUDY_THREADS_H

#include "stillwatt/message.h"

/// Work of which the items depend on nothing but their number.
typedef struct sw_items {
    int first, last; ///< the last is not one of them
    /// Does one, with messages of its own; on any thread.
    sw_status (*work)(const void *context, int item, sw_messages *messages);
    const void *context;
    /// Called behind each, never two at once; NULL: nobody wants to know.
    void (*done)(void *after);
    void *after;
} sw_items;

/// Does all items. Of several that fail the first one's status is returned, and its errors are told.
sw_status sw_threads_do(const sw_items *items, sw_messages *messages);

/// How many threads there will be.
int sw_threads_most(void);

/// Ends them, at the end of a program: a process should end as it began. No study may follow (one runtime of
/// OpenMP loses its locks then).
void sw_threads_end(void);

#endif
