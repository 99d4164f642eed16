// Real disks and streams that take nothing: full, too small, read-only, closed, folders and devices in the
// place of files.
#include "support/checks.h"
#include "support/program.h"
#include "support/small_plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static char *folder;

static void set_up(void)
{
    folder = program_folder();
    program_write(folder, "van.json", small_van);
    program_write(folder, "part.json", small_part);
    program_write(folder, "trip.json", small_trip);
}

static void tear_down(void)
{
    program_remove(folder);
}

/* Runs a command that must end with 4 and say a line; without `says` nothing may be said. */
static void expect_4(const char *command, const char *says)
{
    program_run run = program_do(folder, command);
    ck_assert_msg(run.exit_status == 4, "`%s` ended with %d, not 4:\n%s", command, run.exit_status, run.err);
    ck_assert_msg(says != NULL ? strstr(run.err, says) != NULL : run.err[0] == '\0',
                  "`%s` should say \"%s\" but says:\n%s", command, says != NULL ? says : "nothing", run.err);
    program_forget(&run);
}

static void expect_0(const char *command)
{
    program_run run = program_do(folder, command);
    ck_assert_msg(run.exit_status == 0, "`%s` ended with %d:\n%s", command, run.exit_status, run.err);
    program_forget(&run);
}

static const char *const answering[] = {
    "rehearse trip.json", "rehearse trip.json --json", "check part.json", "check van.json",
    "check trip.json",    "rehearse --help",           "--help",          "--version"};

START_TEST(an_answer_that_goes_nowhere_is_told)
{
    for (size_t i = 0; i < sizeof answering / sizeof answering[0]; i++) {
        char command[200];
        snprintf(command, sizeof command, "stillwatt %s >/dev/full", answering[i]);
        expect_4(command, "stillwatt: could not write the answer: No space left on device");
        snprintf(command, sizeof command, "stillwatt %s >&-", answering[i]);
        expect_4(command, "stillwatt: could not write the answer: Bad file descriptor");
        snprintf(command, sizeof command, "{ sleep 0.1; stillwatt %s; echo $? >status; } | true; sleep 0.3",
                 answering[i]);
        program_run run = program_do(folder, command);
        char *status = program_read(folder, "status");
        ck_assert_ptr_nonnull(status);
        ck_assert_msg(strcmp(status, "4\n") == 0 && run.err[0] == '\0',
                      "`%s` into a closed pipe ended with %s and said %s", answering[i], status, run.err);
        free(status);
        program_forget(&run);
    }
}
END_TEST

START_TEST(closed_and_full_streams_spoil_no_file)
{
    static const char *const streams[] = {"2>&-", "2>/dev/full", "<&-", "<&- 2>&-"};
    expect_0("stillwatt rehearse trip.json --ledger good.csv");
    for (size_t i = 0; i < sizeof streams / sizeof streams[0]; i++) {
        char command[200];
        snprintf(command, sizeof command,
                 "rm -f l.csv; stillwatt rehearse trip.json --ledger l.csv %s && cmp l.csv good.csv",
                 streams[i]);
        expect_0(command);
        snprintf(command, sizeof command, "stillwatt check absent.json %s; test $? = 4", streams[i]);
        expect_0(command);
    }
    expect_4("rm -f l.csv; stillwatt rehearse trip.json --ledger l.csv >&-", "could not write the answer");
    expect_0("cmp l.csv good.csv");
}
END_TEST

#define LOOK "ls -lAR --time-style=full-iso --ignore=before --ignore=after"

/* All places that take no ledger; after each nothing but what was there is there. */
START_TEST(a_ledger_that_finds_no_place_is_told)
{
    static const struct {
        const char *prepare, *ledger, *says;
    } places[] = {
        {"true", "absent/l.csv", "could not write absent/l.csv: No such file or directory"},
        {"true", "van.json/l.csv", "could not write van.json/l.csv: Not a directory"},
        {"true", "/proc/l.csv", "could not write /proc/l.csv: No such file or directory"},
        {"mkdir d", "d", "d is a folder, not a file; it is not replaced"},
        {"mkdir d", "d/", "d/ is a folder, not a file; it is not replaced"},
        {"mkfifo p", "p", "p is a device or a pipe, not a file; it is not replaced"},
        {"ln -s /dev/null n", "n", "n is a device or a pipe, not a file; it is not replaced"},
        {"ln -s s s", "s", "could not write s: Too many levels of symbolic links"},
        {"echo mine >m", "m", "m is there and holds something else; it is not replaced"},
        {"printf star >m", "m", NULL},
    };
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        char command[400];
        snprintf(command, sizeof command, "rm -rf d p n s m && %s && " LOOK " >before", places[i].prepare);
        expect_0(command);
        snprintf(command, sizeof command, "timeout 10 '%s' rehearse trip.json --ledger '%s'", SW_PROGRAM,
                 places[i].ledger);
        if (places[i].says == NULL) { // a beginning of the same kind is a ledger that was cut short
            expect_0(command);
            continue;
        }
        expect_4(command, places[i].says);
        expect_0(LOOK " >after; cmp before after");
    }
}
END_TEST

/* Whatever has the name that a ledger would have on its way is somebody else's: it stays, and the ledger
   comes all the same. */
START_TEST(what_has_the_name_of_a_part_stays_as_it_is)
{
    static const char *const there[] = {"echo mine >l.csv.part", "ln -s mine l.csv.part", "mkfifo l.csv.part",
                                        "mkdir l.csv.part", "echo mine >l.csv.part; echo mine >l.csv.1.part"};
    expect_0("stillwatt rehearse trip.json --ledger good.csv");
    for (size_t i = 0; i < sizeof there / sizeof there[0]; i++) {
        char command[400];
        snprintf(command, sizeof command,
                 "rm -rf l.csv l.csv.*; echo mine >mine; %s; ls -l mine l.csv.*part >before", there[i]);
        expect_0(command);
        snprintf(command, sizeof command, "timeout 10 '%s' rehearse trip.json --ledger l.csv", SW_PROGRAM);
        expect_0(command);
        expect_0("cmp l.csv good.csv && test ! -L l.csv && echo mine | cmp - mine");
        expect_0("ls -l mine l.csv.*part | cmp - before; rm -rf l.csv l.csv.*part");
    }
}
END_TEST

/* As far as the limit of file sizes allows: what a full disk is, without the right to mount one. */
START_TEST(a_file_that_may_not_grow_leaves_nothing)
{
    expect_4("(ulimit -f 8; stillwatt rehearse trip.json --ledger l.csv)",
             "could not write l.csv: File too large");
    expect_0("test ! -e l.csv && test ! -e l.csv.part");
    expect_0("stillwatt rehearse trip.json --ledger l.csv && cp l.csv good.csv");
    expect_4("(ulimit -f 8; stillwatt rehearse trip.json --ledger l.csv)",
             "could not write l.csv: File too large");
    expect_0("cmp l.csv good.csv && test ! -e l.csv.part");
    expect_4("mkdir o; (ulimit -f 1; stillwatt draft --station 'Rifle CO' --from 2026-11-06 --out o)",
             "could not write o/van.json.new: File too large");
    expect_0("test -z \"$(ls -A o)\"");
}
END_TEST

START_TEST(a_full_disk_leaves_nothing)
{
    char mount[600];
    snprintf(mount, sizeof mount, "mkdir t && mount -t tmpfs -o size=24k none t 2>/dev/null");
    program_run run = program_do(folder, mount);
    int mounted = run.exit_status == 0;
    program_forget(&run);
    if (!mounted) {
        printf("skipped: a disk that is full (a tmpfs may not be mounted here; run as root to have it)\n");
        return;
    }
    // Whatever fails, the mount must go: the checks come after it.
    run = program_do(folder, "echo kept >t/kept; stillwatt rehearse '" SW_SOURCE_DIR
                             "/profiles/trips/canyon-week.json' --ledger t/l.csv; echo $? >status; "
                             "ls -A t >left; stillwatt draft --station 'Rifle CO' --from 2026-11-06 --out t "
                             "2>/dev/null; echo $? >>status; ls -A t >>left; umount t");
    ck_assert_msg(run.exit_status == 0, "the tmpfs %s/t could not be unmounted: do it by hand", folder);
    ck_assert_ptr_nonnull(strstr(run.err, "could not write t/l.csv: No space left on device"));
    program_forget(&run);
    char *status = program_read(folder, "status"), *left = program_read(folder, "left");
    ck_assert_str_eq(left, "kept\nkept\ntrip.json\nvan.json\n");
    ck_assert_str_eq(status, "4\n0\n"); // two small files still fit
    free(status);
    free(left);
}
END_TEST

START_TEST(a_draft_that_finds_no_place_is_told)
{
    static const struct {
        const char *prepare, *out, *says;
    } places[] = {
        {"true", "absent", "--out: the folder absent: No such file or directory"},
        {"true", "van.json", "--out: van.json is not a folder"},
        {"true", "/proc", "could not write /proc/van.json.new: "},
        {"mkdir -p d/van.json", "d", "--out: d/van.json is a folder, so that no file can be written there"},
        {"mkdir d; echo mine >d/trip.json", "d", "--out: d/trip.json exists already and stays as it is"},
        {"mkdir -p d/van.json.new", "d", "d/van.json.new is in the way of the files that are written"},
        {"mkdir d; echo mine >d/trip.json.new", "d",
         "d/trip.json.new is in the way of the files that are written"},
        {"mkdir d; echo mine >d/trip.json.new.old", "d", "d/trip.json.new.old is in the way"},
    };
    for (size_t i = 0; i < sizeof places / sizeof places[0]; i++) {
        char command[400];
        snprintf(command, sizeof command, "rm -rf d; %s; touch d; ls -lR d >before 2>&1", places[i].prepare);
        expect_0(command);
        snprintf(command, sizeof command, "stillwatt draft --station 'Rifle CO' --from 2026-11-06 --out '%s'",
                 places[i].out);
        expect_4(command, places[i].says);
        expect_0("ls -lR d >after 2>&1; cmp before after");
    }
}
END_TEST

/* Permissions do not hold root back: as root the same is tried as nobody. */
START_TEST(what_may_not_be_read_or_written_is_told)
{
    const char *program = program_without_rights(folder, "files without permission");
    if (program == NULL)
        return;
    static const struct {
        const char *prepare, *words, *says;
    } cases[] = {
        {"chmod 0 van.json", "check van.json", "van.json: it may not be read (permission denied)"},
        {"chmod 0 trip.json", "rehearse trip.json", "trip.json: it may not be read (permission denied)"},
        {"chmod 0 part.json", "check part.json", "part.json: it may not be read (permission denied)"},
        {"chmod 0 van.json", "rehearse trip.json",
         "trip.json:4:10: /van: the file van.json could not be read: it may not be read (permission denied)"},
        {"sed -i 's/{\"kind\": \"average\"}/{\"kind\": \"hourly\", \"file\": \"w.epw\"}/' trip.json; "
         "echo >w.epw; chmod 0 w.epw",
         "rehearse trip.json",
         "the weather file w.epw could not be read: it may not be read (permission denied)"},
        {"mkdir d; chmod 555 d", "rehearse trip.json --ledger d/l.csv",
         "could not write d/l.csv: Permission denied"},
        {"mkdir d; echo start,minutes >d/l.csv; chmod 0 d/l.csv; chmod 777 d",
         "rehearse trip.json --ledger d/l.csv", "could not write d/l.csv: Permission denied"},
        {"mkdir d; chmod 555 d", "draft --station 'Rifle CO' --from 2026-11-06 --out d",
         "--out: nothing may be written in the folder d: Permission denied"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char command[1400];
        snprintf(command, sizeof command, "chmod 755 . && %s", cases[i].prepare);
        expect_0(command);
        expect_0("ls -lR d >before 2>/dev/null; true");
        snprintf(command, sizeof command, "%s %s", program, cases[i].words);
        expect_4(command, cases[i].says);
        expect_0("ls -lR d 2>/dev/null >after; cmp before after; rm -rf d");
        program_write(folder, "trip.json", small_trip);
        expect_0("chmod 644 van.json trip.json part.json");
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {an_answer_that_goes_nowhere_is_told,
                                  closed_and_full_streams_spoil_no_file,
                                  a_ledger_that_finds_no_place_is_told,
                                  what_has_the_name_of_a_part_stays_as_it_is,
                                  a_file_that_may_not_grow_leaves_nothing,
                                  a_full_disk_leaves_nothing,
                                  a_draft_that_finds_no_place_is_told,
                                  what_may_not_be_read_or_written_is_told,
                                  NULL};
    return sw_suite_with("failing disk", tests, 60, set_up, tear_down);
}
