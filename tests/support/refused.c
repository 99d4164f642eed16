#include "support/refused.h"

#include "support/program.h"

#include <check.h>
#include <dirent.h>
#include <stdio.h>
#include <string.h>

/* Names in a folder, with "." and "..". */
static int count_names(const char *folder)
{
    int count = 0;
    DIR *open = opendir(folder);
    ck_assert_ptr_nonnull(open);
    while (readdir(open) != NULL)
        count++;
    closedir(open);
    return count;
}

void refused_rehearse(const char *folder, const char *program, const refusal *expected, refusals *seen)
{
    char command[1024];
    int before = count_names(folder);
    snprintf(command, sizeof command, "%s rehearse trip.json --ledger hours.csv", program);
    program_run run = program_do(folder, command);
    int more = count_names(folder) - before;
    int refused = expected->exit_status == 3 || expected->exit_status == 4;
    seen->with_3 += run.exit_status == 3;
    seen->with_4 += run.exit_status == 4;
    if (!refused || run.exit_status != expected->exit_status || run.out[0] != '\0' || more != 0 ||
        strncmp(run.err, expected->says, strlen(expected->says)) != 0) {
        printf("%s: exit status %d, not %d; %zu bytes on standard output, %d more files\n  expected: %s  "
               "found:    %s",
               expected->row, run.exit_status, expected->exit_status, strlen(run.out), more, expected->says,
               run.err);
        seen->different++;
    }
    program_forget(&run);
}

void refused_conclude(const char *what, const refusals *seen)
{
    printf("%s: the program ended %d times with 3, %d times with 4\n", what, seen->with_3, seen->with_4);
    fflush(stdout); // a failed check leaves without it
    ck_assert_int_gt(seen->with_3 + seen->with_4, 0);
    ck_assert_int_eq(seen->different, 0);
}
