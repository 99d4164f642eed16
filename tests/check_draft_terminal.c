// The questions of draft, asked on a pseudo-terminal.
#define _XOPEN_SOURCE 700 // posix_openpt
#include "support/checks.h"
#include "support/workshop.h"

#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

static pid_t start_on(int terminal)
{
    const char *slave = ptsname(terminal);
    ck_assert_ptr_nonnull(slave);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child != 0)
        return child;
    setsid();
    int in = open(slave, O_RDWR); // becomes the controlling terminal
    if (in < 0 || dup2(in, 0) < 0 || dup2(in, 1) < 0 || dup2(in, 2) < 0 || chdir(workshop_path("work")) != 0)
        _exit(126);
    setenv("LC_ALL", "C", 1);
    setenv("NO_COLOR", "1", 1);
    setenv("COLUMNS", "80", 1);
    execl(SW_PROGRAM, SW_PROGRAM, "draft", (char *)NULL);
    _exit(127);
}

/* Answers each question with the next line; after the last the terminal ends its input. What was on the
   screen is left in workshop_out. @return the exit status */
static int converse(const char *const *lines)
{
    int terminal = posix_openpt(O_RDWR | O_NOCTTY), status;
    ck_assert_int_ge(terminal, 0);
    ck_assert_int_eq(grantpt(terminal) | unlockpt(terminal), 0);
    pid_t child = start_on(terminal);
    size_t length = 0, answered = 0;
    ssize_t got;
    while (length + 1 < sizeof workshop_out &&
           (got = read(terminal, workshop_out + length, sizeof workshop_out - 1 - length)) > 0) {
        length += (size_t)got;
        workshop_out[length] = '\0';
        // Only what came after the last answer can be a question; the echo of an answer ends its line.
        if (length >= answered + 3 && strcmp(workshop_out + length - 3, "]: ") == 0) {
            const char *line = *lines != NULL ? *lines++ : "\x04";
            ck_assert_int_eq(write(terminal, line, strlen(line)), (ssize_t)strlen(line));
            answered = length;
        }
    }
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    close(terminal);
    ck_assert(WIFEXITED(status));
    return WEXITSTATUS(status);
}

START_TEST(questions_lead_to_the_same_files_as_options)
{
    static const char *const lines[] = {
        "Rifle CO\n", "2026-11-06\n", "5\n", "3\n",   "3 x 175 W\n", "2 x 105 Ah agm\n",
        "1500 W\n",   "no\n",         "y\n", "YES\n", "induction\n", "yes\n",
        "  3 \t\n",   "2\n",          ".\n", NULL};
    static char van[1 << 14], trip[1 << 13], other[1 << 14];
    workshop_begin();
    ck_assert_int_eq(converse(lines), 0);
    ck_assert_uint_le(workshop_widest(workshop_out), 80);
    ck_assert_ptr_nonnull(strstr(workshop_out, "Under the average November sky"));
    workshop_read("work/van.json", van, sizeof van);
    workshop_read("work/trip.json", trip, sizeof trip);
    ck_assert_int_eq(workshop_run("draft --force --driving y --fridge YES " WORKSHOP_ANSWERS), 0);
    workshop_read("work/trip.json", other, sizeof other);
    ck_assert_str_eq(trip, other);
    // In the van only the words as typed differ: "y" and "YES" for "yes".
    workshop_read("work/van.json", other, sizeof other);
    ck_assert_str_eq(strstr(van, "\n{\n"), strstr(other, "\n{\n"));
    ck_assert_ptr_nonnull(strstr(van, "\"YES\"\n"));
    workshop_end();
}
END_TEST

START_TEST(wrong_answers_are_told_and_asked_again)
{
    static const char *const lines[] = {"Moabb\n", "Moab\n", "tomorrow\n", "2026-07-01\n", "some\n",  "3\n",
                                        "\n",      "none\n", "200 Ah\n",   "\n",           "none\n",  "\n",
                                        "\n",      "\n",     "kettle\n",   "\n",           "maybe\n", "no\n",
                                        "\n",      "\n",     "nowhere\n",  "\n",           NULL};
    workshop_begin();
    ck_assert_int_eq(converse(lines), 0);
    ck_assert_ptr_nonnull(strstr(workshop_out, "did you mean"));
    ck_assert_ptr_nonnull(strstr(workshop_out, "is not a date"));
    ck_assert_ptr_nonnull(strstr(workshop_out, "does not end with"));
    ck_assert_ptr_nonnull(strstr(workshop_out, "needs an inverter"));
    ck_assert_ptr_nonnull(strstr(workshop_out, "yes or no, not"));
    ck_assert_ptr_nonnull(strstr(workshop_out, "nowhere"));
    ck_assert_int_eq(workshop_count(workshop_out, "First day, or month, e.g."), 2);
    ck_assert_int_eq(workshop_count(workshop_out, "Folder to write to, e.g."), 2);
    ck_assert_uint_le(workshop_widest(workshop_out), 80);
    sw_plan *plan = workshop_plan("work/trip.json");
    ck_assert_int_eq(plan->van->arrays, 0);
    ck_assert_ptr_null(plan->van->inverter);
    ck_assert_ptr_null(workshop_load(plan, "kettle")); // without an inverter the default is gas
    ck_assert_ptr_null(workshop_load(plan, "heater fan"));
    sw_plan_free(plan);
    workshop_end();
}
END_TEST

START_TEST(the_end_of_input_writes_nothing)
{
    static const char *const none[] = {NULL}, *const some[] = {"Moab\n", "2026-07-01\n", "0\n", NULL};
    workshop_begin();
    ck_assert_int_eq(converse(none), 2);
    ck_assert_ptr_nonnull(strstr(workshop_out, "nothing was written"));
    ck_assert_int_eq(converse(some), 2);
    ck_assert_ptr_nonnull(strstr(workshop_out, "nothing was written"));
    workshop_assert_empty();
    workshop_end();
}
END_TEST

/* A machine may have no pseudo-terminals, such as a bare root folder without its devices. */
static int terminals_present(void)
{
    int terminal = posix_openpt(O_RDWR | O_NOCTTY);
    if (terminal >= 0)
        close(terminal);
    else
        printf("skipped: questions on a terminal (this machine has no pseudo-terminals)\n");
    return terminal >= 0;
}

Suite *sw_suite(void)
{
    static const TTest *const nothing[] = {NULL};
    if (!terminals_present())
        return sw_suite_of("draft on a terminal", nothing, 1);
    const TTest *const tests[] = {
        questions_lead_to_the_same_files_as_options,
        wrong_answers_are_told_and_asked_again,
        the_end_of_input_writes_nothing,
        NULL,
    };
    return sw_suite_of("draft_terminal", tests, 60);
}
