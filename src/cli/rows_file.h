// The CSV of a study while it grows: NAME.part until it is whole, so that whatever ends the program leaves
// the finished rows, and a later run goes on behind them.
#ifndef SW_CLI_ROWS_FILE_H
#define SW_CLI_ROWS_FILE_H

#include "stillwatt/report.h"

#include <stdint.h>
#include <time.h>

typedef struct rows_file {
    const char *name; // NULL: no file is asked for, and every call does nothing
    char part[4096];
    int descriptor; // -1: none is open
    int whole;      // the file was there, and complete
    time_t kept;    // when the disk last had it all
} rows_file;

/// Opens NAME.part with its head, or where `resume` is set goes on with what is there: whole blocks are
/// counted and handed to `tally`, what follows them is cut off.
/// @param cases rows of a block @param blocks of the whole study
/// @return 0 and the number of blocks that are done; or the exit status after a message
int rows_open(rows_file *f, const char *name, const char *head, int resume, int cases, int64_t blocks,
              sw_tally *tally, int64_t *done);

/// Adds rows. @return 0 or the exit status after a message; what was there stays
int rows_add(rows_file *f, const char *text);

/// Gives the file its name. @return 0 or the exit status after a message
int rows_finish(rows_file *f);

/// Closes a file that is not finished; NAME.part stays.
void rows_leave(rows_file *f);

/// Hands the lines of a text, each a row, to the tally. @return 0 if one is no row, or not the next
int rows_sum_up(const char *text, sw_tally *tally, int64_t *number);

#endif
