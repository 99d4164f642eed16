/// What a call came to, and the exit status that the program makes of it.
#ifndef STILLWATT_STATUS_H
#define STILLWATT_STATUS_H

/// One row per status: name, exit status of the program, sentence.
#define SW_STATUS_LIST(X)                                                                                    \
    X(SW_OK, 0, "done")                                                                                      \
    X(SW_BAD_USE, 2, "the command line was not understood")                                                  \
    X(SW_BAD_INPUT, 3, "an input file is wrong")                                                             \
    X(SW_OUT_OF_RANGE, 3, "a value is outside what the computation is valid for")                            \
    X(SW_CANNOT_READ, 4, "a file could not be read")                                                         \
    X(SW_CANNOT_WRITE, 4, "a file could not be written")                                                     \
    X(SW_NO_MEMORY, 4, "there is not enough memory")                                                         \
    X(SW_UNBALANCED, 5, "an internal check failed: the energy does not balance")

typedef enum sw_status {
#define SW_STATUS_ENUM(name, exit_status, sentence) name,
    SW_STATUS_LIST(SW_STATUS_ENUM)
#undef SW_STATUS_ENUM
} sw_status;

/// The sentence of a status; a static string. Unknown values give "unknown status".
const char *sw_status_sentence(sw_status status);

/// The exit status of the program for a status (0, 2, 3, 4 or 5).
int sw_status_exit(sw_status status);

#endif
