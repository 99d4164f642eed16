// The pictures of README.md are what the program draws today; those of pages are known by the sums of the
// pages.
#include "support/checks.h"
#include "support/program.h"
#include "support/whole_file.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define PICTURES SW_SOURCE_DIR "/profiles/pictures"

/* From the project's folder, as scripts/gallery does: pages name their inputs. */
static void check_picture(const char *name, const char *words)
{
    char command[1600];
    char *folder = program_folder();
    int is_page = strstr(name, ".png") != NULL, stem = (int)(strrchr(name, '.') - name);
    int asked = (int)strlen(words) - 3; // what is asked for, without its place
    ck_assert_msg(asked > 0 && strcmp(words + asked, "OUT") == 0, "%s does not end with OUT", words);
    if (is_page)
        snprintf(
            command, sizeof command,
            "here=$PWD; cd '%s' && STILLWATT_DATA=. '%s' %.*s \"$here/made\" && sha256sum <\"$here/made\" | "
            "cut -d ' ' -f 1 | cmp - '%s/%.*s.sum' && test -s '%s/%s'",
            SW_SOURCE_DIR, SW_PROGRAM, asked, words, PICTURES, stem, name, PICTURES, name);
    else
        snprintf(command, sizeof command,
                 "here=$PWD; cd '%s' && STILLWATT_DATA=. '%s' %.*s \"$here/made\" >/dev/null && "
                 "cmp \"$here/made\" '%s/%s' && { ! command -v xmllint >/dev/null || xmllint --noout "
                 "\"$here/made\"; }",
                 SW_SOURCE_DIR, SW_PROGRAM, asked, words, PICTURES, name);
    program_run run = program_do(folder, command);
    ck_assert_msg(run.exit_status == 0, "%s is not what the program makes today; run scripts/gallery: %s%s",
                  name, run.out, run.err);
    program_forget(&run);
    program_remove(folder);
}

START_TEST(pictures_are_of_today)
{
    char *list = read_whole_file(PICTURES "/list.txt", NULL),
         *readme = read_whole_file(SW_SOURCE_DIR "/README.md", NULL);
    int count = 0;
    ck_assert_ptr_nonnull(list);
    ck_assert_ptr_nonnull(readme);
    for (char *line = strtok(list, "\n"); line != NULL; line = strtok(NULL, "\n")) {
        char name[60], link[100];
        int read = 0;
        if (line[0] == '#' || sscanf(line, "%59s %n", name, &read) != 1)
            continue;
        snprintf(link, sizeof link, "(profiles/pictures/%s)", name);
        ck_assert_msg(strstr(readme, link) != NULL, "README.md does not show %s", name);
        check_picture(name, line + read);
        count++;
    }
    ck_assert_int_ge(count, 5);
    free(readme);
    free(list);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {pictures_are_of_today, NULL};
    return sw_suite_of("gallery", tests, 120);
}
