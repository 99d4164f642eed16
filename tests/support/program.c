#include "support/program.h"

#include "support/whole_file.h"

#include <check.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

program_run program_do(const char *folder, const char *command)
{
    static int count;
    char out[256], err[256], line[8192];
    snprintf(out, sizeof out, "/tmp/stillwatt-out-%d-%d", (int)getpid(), count);
    snprintf(err, sizeof err, "/tmp/stillwatt-err-%d-%d", (int)getpid(), count++);
    snprintf(
        line, sizeof line,
        "cd '%s' && { stillwatt() { $STILLWATT_UNDER '%s' \"$@\"; }; unset COLUMNS NO_COLOR; export LC_ALL=C "
        "STILLWATT_DATA='%s'; "
        "%s\n} >'%s' 2>'%s' </dev/null",
        folder, SW_PROGRAM, SW_SOURCE_DIR, command, out, err);
    int status = system(line);
    program_run run = {WIFEXITED(status) ? WEXITSTATUS(status) : -1, read_whole_file(out, NULL),
                       read_whole_file(err, NULL)};
    unlink(out);
    unlink(err);
    return run;
}

program_run program_expect(const char *folder, int exit_status, const char *command)
{
    program_run run = program_do(folder, command);
    ck_assert_msg(run.exit_status == exit_status, "`%s` ended with %d, not %d:\n%s", command, run.exit_status,
                  exit_status, run.err);
    return run;
}

void program_forget(program_run *run)
{
    free(run->out);
    free(run->err);
}

#define AS_NOBODY "setpriv --reuid=65534 --regid=65534 --clear-groups "

const char *program_without_rights(const char *folder, const char *what)
{
    if (geteuid() != 0)
        return "stillwatt";
    if (access("/usr/bin/setpriv", X_OK) != 0) {
        printf("skipped: %s (as root setpriv is needed; install util-linux)\n", what);
        return NULL;
    }
    program_run run = program_do(folder, "chmod 755 . && " AS_NOBODY "test -x '" SW_PROGRAM
                                         "' -a -r '" SW_SOURCE_DIR "/weather'");
    int reached = run.exit_status == 0;
    program_forget(&run);
    if (reached)
        return AS_NOBODY "'" SW_PROGRAM "'";
    printf("skipped: %s (nobody may not reach the program; build it in an open folder)\n", what);
    return NULL;
}

char *program_folder(void)
{
    char *folder = strdup("/tmp/stillwatt-test-XXXXXX");
    ck_assert_ptr_nonnull(folder);
    ck_assert_ptr_nonnull(mkdtemp(folder));
    return folder;
}

void program_remove(char *folder)
{
    char command[512];
    snprintf(command, sizeof command, "chmod -R u+w '%s' && rm -rf '%s'", folder, folder);
    ck_assert_int_eq(system(command), 0);
    free(folder);
}

const char *const program_demos[] = {"canyon-week",
                                     "canyon-week-told",
                                     "canyon-week-hours",
                                     "canyon-week-drawn",
                                     "canyon-week-years",
                                     "desert-summer",
                                     "high-desert-tour",
                                     "canyon-floor",
                                     "wet-forest",
                                     "salt-flats",
                                     "frozen-pass",
                                     "frozen-pass-heated",
                                     NULL};

static void path_in(const char *folder, const char *name, char path[1024])
{
    snprintf(path, 1024, "%s/%s", folder, name);
}

void program_write(const char *folder, const char *name, const char *text)
{
    char path[1024];
    const char *slash = strrchr(name, '/');
    if (slash != NULL) {
        snprintf(path, sizeof path, "%s/%.*s", folder, (int)(slash - name), name);
        ck_assert(mkdir(path, 0700) == 0 || errno == EEXIST);
    }
    path_in(folder, name, path);
    FILE *file = fopen(path, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_int_ge(fputs(text, file), 0);
    ck_assert_int_eq(fclose(file), 0);
}

char *program_read(const char *folder, const char *name)
{
    char path[1024];
    path_in(folder, name, path);
    return read_whole_file(path, NULL);
}
