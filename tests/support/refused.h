// Wrong files given to the program: how a rehearsal must end that does not take them.
#ifndef SW_TESTS_SUPPORT_REFUSED_H
#define SW_TESTS_SUPPORT_REFUSED_H

#include <stddef.h>

/// What a command to rehearse must come to.
typedef struct refusal {
    const char *row;  ///< what is wrong, for the line that a failure prints
    const char *says; ///< the exact first message, from the beginning of what is said
    int exit_status;  ///< 3 or 4
} refusal;

/// How many were seen with each exit status, and how many were not as they must be.
typedef struct refusals {
    int with_3, with_4, different;
} refusals;

/// Runs `PROGRAM rehearse trip.json --ledger hours.csv` in a folder of program_folder. Exit status and first
/// message must be as said, standard output empty, and nothing new may be in the folder (it is left as it
/// was).
/// @param program "stillwatt", or a command that runs it
void refused_rehearse(const char *folder, const char *program, const refusal *expected, refusals *seen);

/// Prints how many were seen, and fails if any was different or none was seen.
void refused_conclude(const char *what, const refusals *seen);

#endif
