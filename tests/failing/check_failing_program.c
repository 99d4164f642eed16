// Every call of the program to the system fails once: memory, open, read, write, sync, close, rename and so
// on, for each verb. The program must end with its documented status and a message that names the file, must
// leave no half file and no temporary one, and must keep what was there. Short and interrupted calls must
// change nothing.
#include "support/checks.h"
#include "support/program.h"
#include "support/small_plan.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { WORDS = 40, OUTPUTS = 2, TEXT = 1 << 18, LONGEST_S = 20 };

// ---- one run ----

typedef struct text {
    size_t length;
    char bytes[TEXT];
} text;

/// What a run left: its streams, and the files of "out".
typedef struct outcome {
    int exit_status; ///< -1: ended by a signal
    int signal;
    text out, err, file[OUTPUTS];
    int there[OUTPUTS];
    char stranger[256]; ///< a file that should not be there, "" if none
} outcome;

/// A verb as it is tried.
typedef struct tried {
    const char *name;
    const char *words[WORDS];
    const char *output[OUTPUTS]; ///< in the folder "out"
    const char *old;             ///< how what was there begins, NULL where nothing was
    long dense;                  ///< so many first allocations fail, then a sample
} tried;

static char *folder;
static outcome good, now;

static const char *path_in(const char *name)
{
    static char path[4][600];
    static int next;
    next = (next + 1) % 4;
    snprintf(path[next], sizeof path[next], "%s/%s", folder, name);
    return path[next];
}

static int read_text(const char *path, text *out)
{
    int descriptor = open(path, O_RDONLY);
    out->length = 0;
    out->bytes[0] = '\0';
    if (descriptor < 0)
        return 0;
    for (ssize_t got; (got = read(descriptor, out->bytes + out->length, TEXT - 1 - out->length)) > 0;)
        out->length += (size_t)got;
    out->bytes[out->length] = '\0';
    close(descriptor);
    ck_assert_msg(out->length < TEXT - 1, "%s is larger than this test has room for: raise TEXT", path);
    return 1;
}

/* What a file held before a run: it begins as its kind does, since other kinds are not replaced. */
static void old_text(const tried *t, int which, char *buffer, size_t size)
{
    snprintf(buffer, size, "%s, what %s held before\n", t->old, t->output[which]);
}

static void prepare(const tried *t)
{
    char name[600], old[300];
    DIR *list = opendir(path_in("out"));
    ck_assert_ptr_nonnull(list);
    for (struct dirent *entry; (entry = readdir(list)) != NULL;) {
        snprintf(name, sizeof name, "%s/out/%s", folder, entry->d_name);
        if (strcmp(entry->d_name, ".") != 0 && strcmp(entry->d_name, "..") != 0)
            ck_assert_int_eq(unlink(name), 0);
    }
    closedir(list);
    for (int i = 0; i < OUTPUTS && t->old != NULL && t->output[i] != NULL; i++) {
        snprintf(name, sizeof name, "out/%s", t->output[i]);
        old_text(t, i, old, sizeof old);
        program_write(folder, name, old);
    }
}

/* The rows of a study stay where they are, to be gone on with. */
static void look_around(const tried *t, outcome *o)
{
    DIR *list = opendir(path_in("out"));
    ck_assert_ptr_nonnull(list);
    o->stranger[0] = '\0';
    for (struct dirent *entry; (entry = readdir(list)) != NULL;) {
        int known = strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0;
        for (int i = 0; i < OUTPUTS; i++)
            known = known || (t->output[i] != NULL && strcmp(t->output[i], entry->d_name) == 0);
        known = known || (strcmp(t->words[0], "compare") == 0 && strcmp(entry->d_name, "rows.csv.part") == 0);
        if (!known)
            snprintf(o->stranger, sizeof o->stranger, "%s", entry->d_name);
    }
    closedir(list);
    for (int i = 0; i < OUTPUTS && t->output[i] != NULL; i++) {
        char name[300];
        snprintf(name, sizeof name, "out/%s", t->output[i]);
        o->there[i] = read_text(path_in(name), &o->file[i]);
    }
}

/* The environment of the shim, in the child. */
static void arm(const char *call, long nth, int on, int error_number)
{
    char text_of[3][32];
    snprintf(text_of[0], sizeof text_of[0], "%ld", nth);
    snprintf(text_of[1], sizeof text_of[1], "%d", on);
    snprintf(text_of[2], sizeof text_of[2], "%d", error_number);
    setenv("SHIM_CALL", call, 1);
    setenv("SHIM_NTH", text_of[0], 1);
    setenv("SHIM_ON", text_of[1], 1);
    setenv("SHIM_ERRNO", text_of[2], 1);
    setenv("SHIM_SAYS", path_in("says"), 1);
    setenv("LC_ALL", "C", 1);
    setenv("OMP_NUM_THREADS", "1", 1); // calls come in one order
    setenv("STILLWATT_DATA", SW_SOURCE_DIR, 1);
    unsetenv("COLUMNS");
    setenv("LD_PRELOAD", SW_SHIM, 1);
}

static void become(const tried *t)
{
    const char *words[WORDS + 1] = {SW_PROGRAM};
    for (int i = 0; t->words[i] != NULL; i++)
        words[i + 1] = t->words[i];
    int in = open("/dev/null", O_RDONLY), out = open(path_in("stdout"), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    int err = open(path_in("stderr"), O_WRONLY | O_CREAT | O_TRUNC, 0600);
    if (in < 0 || out < 0 || err < 0 || dup2(in, 0) < 0 || dup2(out, 1) < 0 || dup2(err, 2) < 0 ||
        chdir(folder) != 0)
        _exit(126);
    close(in);
    close(out);
    close(err);
    alarm(LONGEST_S); // a hang ends by a signal
    execv(SW_PROGRAM, (char **)(size_t)words);
    _exit(127);
}

/// What the shim says.
typedef struct said {
    long calls, hits;
    char what[512];
} said;

static said run(const tried *t, const char *call, long nth, int on, int error_number, outcome *o)
{
    int status;
    text says;
    said s = {0};
    prepare(t);
    unlink(path_in("says"));
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        arm(call, nth, on, error_number);
        become(t);
    }
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    o->exit_status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    o->signal = WIFSIGNALED(status) ? WTERMSIG(status) : 0;
    ck_assert(read_text(path_in("stdout"), &o->out) && read_text(path_in("stderr"), &o->err));
    look_around(t, o);
    if (read_text(path_in("says"), &says))
        sscanf(says.bytes, "%ld %ld %511[^\n]", &s.calls, &s.hits, s.what);
    return s;
}

// ---- what must come of it ----

typedef enum expected { FAILS, PASSES, EITHER } expected;

/// A kind of failure.
typedef struct fault {
    const char *call;
    int error_number; ///< 0: one byte only
    int on;           ///< all calls after the nth fail as well
    expected expected;
} fault;

static const fault faults[] = {
    {"memory", ENOMEM, 0, EITHER}, // qsort, stdio and lists of defaults do without
    {"memory", ENOMEM, 1, EITHER},  {"open", EACCES, 0, FAILS},
    {"open", EMFILE, 1, FAILS},     {"read", EIO, 0, FAILS},
    {"read", EINTR, 0, PASSES},     {"read", 0, 0, PASSES},
    {"read", 0, 1, PASSES},         {"write", ENOSPC, 0, FAILS},
    {"write", EIO, 1, FAILS},       {"write", EPIPE, 0, FAILS},
    {"write", EINTR, 0, PASSES},    {"write", 0, 0, PASSES},
    {"fsync", EIO, 0, FAILS},       {"fsync", EINTR, 0, PASSES},
    {"close", EIO, 0, EITHER}, // of a file that was only read it changes nothing
    {"close", ENOSPC, 0, EITHER},   {"close", EINTR, 0, PASSES},
    {"fstat", EIO, 0, EITHER}, // of an input only a folder is told by it
    {"stat", EIO, 0, FAILS},        {"lstat", EIO, 0, FAILS},
    {"access", EACCES, 0, FAILS},   {"rename", EIO, 0, FAILS},
    {"unlink", EIO, 0, PASSES}, // told, and the answer is there
    {"realpath", ENOMEM, 0, FAILS}, {"isatty", ENOTTY, 0, PASSES},
};

static char doing[600];

static int same(const text *a, const text *b)
{
    return a->length == b->length && memcmp(a->bytes, b->bytes, a->length) == 0;
}

static int is_prefix(const text *a, const text *of)
{
    return a->length <= of->length && memcmp(a->bytes, of->bytes, a->length) == 0;
}

/* Old or new, never between, and nothing beside; of a draft all files are old or all are new. */
static void check_files(const tried *t, const fault *f)
{
    int old = 0, new = 0;
    for (int i = 0; i < OUTPUTS && t->output[i] != NULL; i++) {
        char before[300];
        if (t->old != NULL)
            old_text(t, i, before, sizeof before);
        int is_old = t->old != NULL ? now.there[i] && strcmp(now.file[i].bytes, before) == 0 : !now.there[i];
        int is_new = now.there[i] && same(&now.file[i], &good.file[i]);
        ck_assert_msg(is_old || is_new, "%s: out/%s is %s", doing, t->output[i],
                      now.there[i] ? "neither what was there nor the new file" : "gone");
        old += is_old;
        new += is_new;
    }
    ck_assert_msg(old == 0 || new == 0, "%s: one file is new and one is not", doing);
    ck_assert_msg(now.stranger[0] == '\0' || strcmp(f->call, "unlink") == 0, "%s: out/%s is left behind",
                  doing, now.stranger);
}

/* A pipe that nobody reads is no news; all else is told, with the name of the file or what was lacking. */
static void check_message(const fault *f, const said *s)
{
    const char *slash = strrchr(s->what, '/');
    char name[512];
    snprintf(name, sizeof name, "%s", slash != NULL ? slash + 1 : s->what);
    char *end = strstr(name, ".json.new"); // what is on its way is named by where it goes
    end = end != NULL ? end + 5 : strstr(name, ".part");
    if (end != NULL)
        *end = '\0';
    if (f->error_number == EPIPE && strcmp(s->what, "the answer") == 0) {
        ck_assert_msg(now.err.length == good.err.length || is_prefix(&now.err, &good.err), "%s:\n%s", doing,
                      now.err.bytes);
        return;
    }
    ck_assert_msg(now.err.length > 0 && now.err.bytes[now.err.length - 1] == '\n', "%s: no message", doing);
    ck_assert_msg(strstr(now.err.bytes, name) != NULL, "%s: the message does not name %s:\n%s", doing, name,
                  now.err.bytes);
}

static int passed(const tried *t)
{
    int all = now.exit_status == good.exit_status && same(&now.out, &good.out);
    for (int i = 0; i < OUTPUTS && t->output[i] != NULL; i++)
        all = all && now.there[i] && same(&now.file[i], &good.file[i]);
    return all;
}

/* What was done without is told; what was done again is not. */
static void check_told(const fault *f)
{
    const char *says = strcmp(f->call, "memory") == 0   ? "there is not enough memory to list"
                       : strcmp(f->call, "unlink") == 0 ? "could not be removed"
                                                        : NULL;
    int told = says != NULL && strstr(now.err.bytes, says) != NULL;
    ck_assert_msg(told || (strcmp(f->call, "unlink") != 0 && same(&now.err, &good.err)),
                  "%s: it went on, but said:\n%s", doing, now.err.bytes);
}

/* @return true if the run passed all the same */
static int check_run(const tried *t, const fault *f, const said *s)
{
    ck_assert_msg(now.signal == 0, "%s: ended by signal %d (14 is a hang)", doing, now.signal);
    check_files(t, f);
    int written =
        f->expected == EITHER && strstr(s->what, ".part") != NULL; // then nothing may be passed over
    if (passed(t) && f->expected != FAILS && !written) {
        check_told(f);
        return 1;
    }
    ck_assert_msg(f->expected != PASSES, "%s: it must go on as if nothing had been, but ended with %d:\n%s",
                  doing, now.exit_status, now.err.bytes);
    ck_assert_msg(now.exit_status == 4, "%s: ended with %d, not 4:\n%s", doing, now.exit_status,
                  now.err.bytes);
    ck_assert_msg(is_prefix(&now.out, &good.out), "%s: standard output holds something new", doing);
    check_message(f, s);
    return 0;
}

/* All of the first, fewer where all that follow fail as well; then a sample whose steps differ, so that no
   multiple is missed. All of all where STILLWATT_LONG is set. Where every call from the first on moves one
   byte, the runs from the second on would only show less of the same. */
static long next_nth(const tried *t, const fault *f, long nth)
{
    static unsigned long seed = 20261107;
    if (f->on && f->error_number == 0)
        return LONG_MAX;
    long dense = f->on && t->dense > 20 ? 20 : t->dense;
    int every = strcmp(f->call, "memory") != 0 || nth < dense || getenv("STILLWATT_LONG") != NULL;
    seed = seed * 6364136223846793005ul + 1442695040888963407ul;
    return every ? nth + 1 : nth + 1 + (long)((seed >> 33) % (nth < 700 ? 50 : 250));
}

static void try_fault(const tried *t, const fault *f)
{
    long runs = 0, survived = 0;
    said whole = run(t, f->call, 0, 0, 0, &now), s;
    if (whole.calls == 0)
        return;
    for (long nth = 1; nth <= whole.calls; nth = next_nth(t, f, nth)) {
        snprintf(doing, sizeof doing, "%s: %s %ld of %ld%s with error %d", t->name, f->call, nth, whole.calls,
                 f->on ? " and all after it" : "", f->error_number);
        s = run(t, f->call, nth, f->on, f->error_number, &now);
        ck_assert_msg(s.hits > 0 || now.signal != 0, "%s: nothing was made to fail", doing);
        snprintf(doing + strlen(doing), sizeof doing - strlen(doing), " (%.200s)", s.what);
        survived += check_run(t, f, &s);
        runs++;
    }
    printf("  %-26s %-9s %3d%s %5ld calls, %5ld runs, %5ld went on as if nothing had been\n", t->name,
           f->call, f->error_number, f->on ? "+" : " ", whole.calls, runs, survived);
    fflush(stdout);
}

static void try_verb(const tried *t)
{
    if (SW_SANITIZED) {
        printf("skipped: %s with calls that fail (LD_PRELOAD and a sanitizer)\n", t->name);
        return;
    }
    said s = run(t, "none", 0, 0, 0, &good);
    ck_assert_msg(good.exit_status == 0 && s.hits == 0, "%s ends with %d:\n%s", t->name, good.exit_status,
                  good.err.bytes);
    ck_assert_msg(good.stranger[0] == '\0', "%s leaves %s behind", t->name, good.stranger);
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++)
        try_fault(t, &faults[i]);
}

// ---- the verbs ----

static void set_up(void)
{
    folder = program_folder();
    ck_assert_int_eq(mkdir(path_in("out"), 0700), 0);
    char *with_part = text_with(small_van, "\"capacity\": \"100 Ah\"", "\"part\": \"part.json\"");
    char *short_trip = text_with(small_trip, "2026-11-08 10:00", "2026-11-06 21:00");
    program_write(folder, "van.json", with_part);
    program_write(folder, "part.json", small_part);
    program_write(folder, "trip.json", short_trip);
    program_write(
        folder, "study.json",
        "{\"format\": \"stillwatt study 1\", \"name\": \"Which?\", \"trips\": [\"trip.json\"], \"draws\": 2, "
        "\"choices\": {\"more\": {\"van\": {\"battery\": {\"parallel\": 3}}}}}");
    free(with_part);
    free(short_trip);
}

static void tear_down(void)
{
    program_remove(folder);
}

#define ANSWERS                                                                                              \
    "--station", "Rifle CO", "--from", "2026-11-06", "--nights", "1", "--fridge", "no", "--out", "out"

static const tried verbs[] = {
    {"rehearse --ledger",
     {"rehearse", "trip.json", "--step", "60", "--ledger", "out/ledger.csv"},
     {"ledger.csv"},
     NULL,
     300},
    {"rehearse, ledger is there",
     {"rehearse", "trip.json", "--step", "60", "--ledger", "out/ledger.csv"},
     {"ledger.csv"},
     "start,minutes,air_c",
     5},
    {"rehearse --chart",
     {"rehearse", "trip.json", "--step", "60", "--chart", "out/tide.svg"},
     {"tide.svg"},
     NULL,
     5},
    {"rehearse --json", {"rehearse", "trip.json", "--step", "60", "--json"}, {NULL}, NULL, 5},
    {"remedy", {"remedy", "trip.json", "--step", "60"}, {NULL}, NULL, 100},
    {"remedy --json", {"remedy", "trip.json", "--step", "60", "--json"}, {NULL}, NULL, 3},
    {"stretch", {"stretch", "trip.json", "--step", "60"}, {NULL}, NULL, 20},
    {"stretch --json", {"stretch", "trip.json", "--step", "60", "--json"}, {NULL}, NULL, 3},
    {"sheet --out",
     {"sheet", "trip.json", "--step", "60", "--made", "2026-11-27", "--out", "out/page.html"},
     {"page.html"},
     NULL,
     3},
    {"odds", {"odds", "trip.json", "--step", "60", "--width", "60%"}, {NULL}, NULL, 20},
    {"compare --csv",
     {"compare", "study.json", "--step", "60", "--csv", "out/rows.csv"},
     {"rows.csv"},
     NULL,
     40},
    {"compare --json", {"compare", "study.json", "--step", "60", "--json"}, {NULL}, NULL, 3},
    {"part.json", {"check", "part.json"}, {NULL}, NULL, 20},
    {"van.json", {"check", "van.json"}, {NULL}, NULL, 20},
    {"trip.json", {"check", "trip.json"}, {NULL}, NULL, 20},
    {"study.json", {"check", "study.json"}, {NULL}, NULL, 20},
    {"draft", {"draft", ANSWERS}, {"van.json", "trip.json"}, NULL, 20},
    {"draft --force", {"draft", "--force", ANSWERS}, {"van.json", "trip.json"}, "{}", 5},
    {"draft trip",
     {"draft", "trip", "--van", "van.json", "--station", "Rifle CO", "--from", "2026-11-06", "--nights", "1",
      "--out", "out"},
     {"trip.json"},
     NULL,
     5},
};

START_TEST(each_verb_bears_every_failing_call)
{
    try_verb(&verbs[_i]);
}
END_TEST

Suite *sw_suite(void)
{
    Suite *suite = suite_create("failing program");
    TCase *each = tcase_create("verbs");
    tcase_set_timeout(each, 600);
    tcase_add_checked_fixture(each, set_up, tear_down);
    tcase_add_loop_test(each, each_verb_bears_every_failing_call, 0, sizeof verbs / sizeof verbs[0]);
    suite_add_tcase(suite, each);
    return suite;
}
