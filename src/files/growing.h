// A text that grows at its end. One that ran out of memory swallows what follows; only its end has to be
// looked at.
#ifndef SW_FILES_GROWING_H
#define SW_FILES_GROWING_H

#include "stillwatt/status.h"

#include <stddef.h>

/// All zero is an empty text.
typedef struct sw_growing {
    char *text;
    size_t length, room;
    int failed; // no memory: everything added since is lost
} sw_growing;

/// Makes room for so many bytes more and a NUL. @return 1, or 0 without memory
int sw_growing_room(sw_growing *g, size_t more);

void sw_growing_add(sw_growing *g, const char *text);

/// Gives the text away, to be released with free(). @return SW_OK or SW_NO_MEMORY (then the text is gone)
sw_status sw_growing_take(sw_growing *g, char **out);

#endif
