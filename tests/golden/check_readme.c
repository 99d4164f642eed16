// What README.md shows is what the program prints today.
#include "support/checks.h"
#include "support/whole_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *run(const char *words)
{
    char command[2048];
    snprintf(command, sizeof command,
             "cd '%s' && LC_ALL=C.UTF-8 COLUMNS=80 NO_COLOR=1 STILLWATT_DATA=. '%s' %s 2>/dev/null",
             SW_SOURCE_DIR, SW_PROGRAM, words);
    FILE *pipe = popen(command, "r");
    ck_assert_ptr_nonnull(pipe);
    char *text = read_whole_stream(pipe, NULL);
    ck_assert_ptr_nonnull(text);
    ck_assert_int_eq(pclose(pipe), 0);
    return text;
}

/* Compares the fenced block after a marker with the run that the marker names. */
static void check_run(const char *marker)
{
    char words[512], want[600];
    const char *end = strstr(marker, " -->"), *fence = strstr(marker, "```text\n");
    ck_assert_ptr_nonnull(end);
    ck_assert_ptr_nonnull(fence);
    snprintf(words, sizeof words, "%.*s", (int)(end - marker), marker);
    int head = snprintf(want, sizeof want, "$ stillwatt %s\n", words);
    const char *shown = fence + strlen("```text\n");
    ck_assert_msg(strncmp(shown, want, (size_t)head) == 0,
                  "README.md does not show the command `stillwatt %s`", words);
    shown += head;
    const char *close = strstr(shown, "\n```");
    ck_assert_ptr_nonnull(close);
    char *printed = run(words);
    size_t length = (size_t)(close - shown) + 1;
    ck_assert_msg(strlen(printed) == length && strncmp(printed, shown, length) == 0,
                  "README.md shows an old output of `stillwatt %s`: run scripts/readme", words);
    free(printed);
}

/* Compares the fenced block after a marker with the file that the marker names. */
static void check_file(const char *marker)
{
    char name[600];
    const char *end = strstr(marker, " -->"), *fence = strstr(marker, "```jsonc\n");
    ck_assert(end != NULL && fence != NULL);
    snprintf(name, sizeof name, "%s/%.*s", SW_SOURCE_DIR, (int)(end - marker), marker);
    const char *shown = fence + strlen("```jsonc\n"), *close = strstr(shown, "\n```");
    FILE *file = fopen(name, "rb");
    ck_assert_msg(file != NULL && close != NULL, "%s", name);
    char *text = read_whole_stream(file, NULL);
    fclose(file);
    size_t length = (size_t)(close - shown) + 1;
    ck_assert_msg(strlen(text) == length && strncmp(text, shown, length) == 0,
                  "README.md shows an old %s: run scripts/readme", name);
    free(text);
}

START_TEST(every_run_and_file_shown_is_todays)
{
    FILE *file = fopen(SW_SOURCE_DIR "/README.md", "rb");
    ck_assert_ptr_nonnull(file);
    char *readme = read_whole_stream(file, NULL);
    fclose(file);
    int runs = 0;
    for (const char *at = readme; (at = strstr(at, "<!-- run: ")) != NULL; runs++) {
        at += strlen("<!-- run: ");
        check_run(at);
    }
    int files = 0;
    for (const char *at = readme; (at = strstr(at, "<!-- file: ")) != NULL; files++) {
        at += strlen("<!-- file: ");
        check_file(at);
    }
    ck_assert(runs >= 1 && files >= 1);
    free(readme);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {every_run_and_file_shown_is_todays, NULL};
    return sw_suite_of("README", tests, 20);
}
