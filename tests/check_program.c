// The program as a program: exit status, streams, files whole or not at all, width, pipes, help.
#include "support/checks.h"
#include "support/program.h"

#include <cjson/cJSON.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define DEMO SW_SOURCE_DIR "/profiles/trips/"

static char *folder;

static void set_up(void)
{
    folder = program_folder();
}

static void tear_down(void)
{
    program_remove(folder);
}

static program_run expect(int exit_status, const char *command)
{
    return program_expect(folder, exit_status, command);
}

static void expect_error(int exit_status, const char *command, const char *says)
{
    program_run run = expect(exit_status, command);
    ck_assert_msg(strstr(run.err, says) != NULL, "`%s` should say \"%s\" but says:\n%s", command, says,
                  run.err);
    ck_assert_str_eq(run.out, "");
    program_forget(&run);
}

START_TEST(command_lines_that_are_wrong_end_with_2_and_say_why)
{
    expect_error(2, "stillwatt rehears x", "did you mean \"rehearse\"?");
    expect_error(2, "stillwatt cook", "there is no verb \"cook\"");
    expect_error(2, "stillwatt rehearse", "use: stillwatt rehearse TRIP");
    expect_error(2, "stillwatt rehearse a b", "use: stillwatt rehearse TRIP");
    expect_error(2, "stillwatt rehearse a --ledgr x", "did you mean --ledger?");
    expect_error(2, "stillwatt rehearse a --ledger", "--ledger needs a value");
    expect_error(2, "stillwatt rehearse a --step 7", "must divide the hour");
    expect_error(2, "stillwatt rehearse a --step 0", "must divide the hour");
    expect_error(2, "stillwatt rehearse a --step 5x", "must divide the hour");
    expect_error(2, "stillwatt rehearse a --units metric", "--units is \"us\" or \"si\"");
    expect_error(2, "stillwatt rehearse a --require fine", "--require is holds, tight, under or out");
    expect_error(2, "stillwatt rehearse a --json=yes", "--json takes no value");
}
END_TEST

START_TEST(help_names_every_verb_and_option)
{
    program_run all = expect(0, "stillwatt --help");
    ck_assert_ptr_nonnull(strstr(all.out, "rehearse"));
    ck_assert_ptr_nonnull(strstr(all.out, "check"));
    ck_assert_ptr_nonnull(strstr(all.out, "draft"));
    program_forget(&all);
    program_run one = expect(0, "stillwatt rehearse --help");
    ck_assert_ptr_nonnull(strstr(one.out, "--ledger FILE.csv"));
    ck_assert_ptr_nonnull(strstr(one.out, "--require VERDICT"));
    ck_assert_ptr_nonnull(strstr(one.out, "--units us|si"));
    program_forget(&one);
}
END_TEST

START_TEST(a_file_that_cannot_be_read_ends_with_4)
{
    expect_error(4, "stillwatt rehearse nowhere.json", "nowhere.json");
    expect_error(4, "mkdir d; stillwatt check d", "it is a folder");
}
END_TEST

START_TEST(a_wrong_file_ends_with_3_and_leaves_nothing_behind)
{
    program_write(folder, "trip.json", "{\"format\": \"stillwatt trip 1\", \"name\": 5}");
    expect_error(3, "stillwatt rehearse trip.json --ledger out.csv", "trip.json:1:");
    ck_assert_ptr_null(program_read(folder, "out.csv"));
    ck_assert_ptr_null(program_read(folder, "out.csv.part"));
}
END_TEST

START_TEST(the_verdict_comes_first_and_every_line_fits_80_columns)
{
    for (const char *const *trip = program_demos; *trip != NULL; trip++) {
        char command[512];
        snprintf(command, sizeof command, "stillwatt rehearse " DEMO "%s.json", *trip);
        program_run run = expect(0, command);
        ck_assert_msg(strncmp(run.out, "HOLDS", 5) == 0 || strncmp(run.out, "TIGHT", 5) == 0 ||
                          strncmp(run.out, "UNDER", 5) == 0 || strncmp(run.out, "OUT", 3) == 0,
                      "%s does not begin with its verdict", *trip);
        for (const char *line = run.out; *line != '\0';) {
            size_t length = strcspn(line, "\n");
            ck_assert_msg(length <= 80, "%s: a line of %zu columns: %.*s", *trip, length, (int)length, line);
            for (size_t k = 0; k < length; k++)
                ck_assert_msg((unsigned char)line[k] < 128, "%s: not ASCII in an ASCII locale: %.*s", *trip,
                              (int)length, line);
            line += length + (line[length] == '\n');
        }
        program_forget(&run);
    }
}
END_TEST

START_TEST(one_demo_comes_out_under)
{
    program_run run = expect(0, "stillwatt rehearse " DEMO "canyon-week-hours.json --json");
    cJSON *root = cJSON_Parse(run.out);
    ck_assert_ptr_nonnull(root);
    const cJSON *outcome = cJSON_GetObjectItemCaseSensitive(root, "outcome");
    ck_assert_str_eq(cJSON_GetObjectItemCaseSensitive(outcome, "verdict")->valuestring, "under");
    ck_assert_double_lt(cJSON_GetObjectItemCaseSensitive(outcome, "lowest_charge_pct")->valuedouble, 20.0);
    cJSON_Delete(root);
    program_forget(&run);
}
END_TEST

START_TEST(require_judges_the_worse_of_average_and_poor_week)
{
    program_run run = expect(1, "stillwatt rehearse " DEMO "canyon-week.json --require under");
    program_forget(&run);
    run = expect(0, "stillwatt rehearse " DEMO "canyon-week.json --require out");
    program_forget(&run);
    run = expect(0, "stillwatt rehearse " DEMO "high-desert-tour.json --require=holds");
    program_forget(&run);
}
END_TEST

START_TEST(a_ledger_is_written_whole_with_a_row_per_hour)
{
    program_run run = expect(0, "stillwatt rehearse " DEMO "canyon-week.json --ledger out.csv");
    char *csv = program_read(folder, "out.csv");
    ck_assert_ptr_nonnull(csv);
    ck_assert_int_eq(strncmp(csv, "start,minutes,air_c,", 20), 0);
    size_t rows = 0, commas_first = 0, commas = 0;
    for (const char *p = csv; *p != '\0'; p++) {
        commas += *p == ',';
        if (*p == '\n') {
            commas_first = rows == 0 ? commas : commas_first;
            ck_assert_uint_eq(commas, commas_first);
            commas = 0;
            rows++;
        }
    }
    ck_assert_uint_eq(rows, 1 + 7 * 24); // Saturday 10:00 to Saturday 10:00
    ck_assert_ptr_null(program_read(folder, "out.csv.part"));
    free(csv);
    program_forget(&run);
}
END_TEST

START_TEST(a_ledger_never_replaces_another_file)
{
    program_run run =
        expect(0, "cp " DEMO "canyon-week.json t.json; cp -r " SW_SOURCE_DIR "/profiles/vans .; sed -i "
                  "'s#../vans#vans#' t.json; cp t.json before");
    program_forget(&run);
    run = program_do(folder, "stillwatt rehearse t.json --ledger t.json");
    ck_assert_int_eq(run.exit_status, 4);
    ck_assert_ptr_nonnull(strstr(run.err, "t.json is there and holds something else"));
    program_forget(&run);
    run = expect(0, "cmp t.json before");
    program_forget(&run);
    run = expect(0, "stillwatt rehearse t.json --ledger l.csv && stillwatt rehearse t.json --ledger l.csv");
    program_forget(&run);
}
END_TEST

/* All columns of the day table at once, on a van too small for its trip. */
START_TEST(the_fullest_report_fits_80_columns_too)
{
    program_run run =
        expect(0, "cp -r " SW_SOURCE_DIR "/profiles/vans .; sed 's#../vans#vans#' " DEMO
                  "high-desert-tour.json >t.json; sed -i 's/\"lfp-200\", \"parallel\": 3/\"lfp-100\"/' "
                  "vans/long-trip-van.json; stillwatt rehearse t.json");
    ck_assert_ptr_nonnull(strstr(run.out, "sun in spilled driving  hookup    used  missed    end"));
    for (const char *line = run.out; *line != '\0'; line += strcspn(line, "\n") + 1) {
        ck_assert_msg(strcspn(line, "\n") <= 80, "a line is too long: %.*s", (int)strcspn(line, "\n"), line);
        if (line[strcspn(line, "\n")] == '\0')
            break;
    }
    program_forget(&run);
}
END_TEST

START_TEST(an_answer_that_cannot_be_written_ends_with_4)
{
    program_run run =
        program_do(folder, "stillwatt rehearse " DEMO "canyon-week.json --ledger no/such/folder.csv");
    ck_assert_int_eq(run.exit_status, 4);
    ck_assert_ptr_nonnull(strstr(run.err, "could not write no/such/folder.csv"));
    program_forget(&run);
    run = program_do(folder, "stillwatt rehearse " DEMO "canyon-week.json >/dev/full");
    ck_assert_int_eq(run.exit_status, 4);
    program_forget(&run);
    run = program_do(folder,
                     "{ stillwatt rehearse " DEMO "canyon-week.json; echo $? >status; } | true; sleep 0.2");
    char *status = program_read(folder, "status");
    ck_assert_ptr_nonnull(status);
    ck_assert_msg(strcmp(status, "4\n") == 0 || strcmp(status, "0\n") == 0, "a closed pipe ended with %s",
                  status);
    free(status);
    program_forget(&run);
}
END_TEST

START_TEST(names_that_would_upset_a_terminal_are_refused)
{
    static const char *const names[] = {"a\\nb", "\\u001b[31mred", "\\u202eabc", ""};
    for (size_t i = 0; i < sizeof names / sizeof names[0]; i++) {
        char van[512];
        snprintf(
            van, sizeof van,
            "{\"format\": \"stillwatt van 1\", \"name\": \"v\", \"battery\": {\"chemistry\": \"agm\", "
            "\"capacity\": "
            "\"100 Ah\"}, \"loads\": {\"%s\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"1 W\"}}}",
            names[i]);
        program_write(folder, "van.json", van);
        program_run run = program_do(folder, "stillwatt check van.json");
        ck_assert_int_eq(run.exit_status, 3);
        ck_assert_msg(strstr(run.err, "not allowed here") != NULL || strstr(run.err, "name is empty") != NULL,
                      "%s", run.err);
        program_forget(&run);
    }
}
END_TEST

START_TEST(empty_arguments_are_a_wrong_command_line)
{
    expect_error(2, "stillwatt rehearse ''", "a file needs a name");
    expect_error(2, "stillwatt rehearse x --ledger ''", "--ledger needs a value that is not empty");
}
END_TEST

START_TEST(a_draft_takes_a_month_for_its_first_day)
{
    program_run run = expect(0, "stillwatt draft --station 'Moab UT' --from november --nights 2 2>/dev/null");
    char *trip = program_read(folder, "trip.json");
    ck_assert_ptr_nonnull(trip);
    ck_assert_ptr_nonnull(strstr(trip, "-11-10 "));
    free(trip);
    program_forget(&run);
}
END_TEST

START_TEST(a_tail_shorter_than_a_step_is_told)
{
    program_run run = expect(
        0, "cp -r " SW_SOURCE_DIR "/profiles/vans .; sed 's#../vans#vans#; s#2026-11-14 10:00#2026-11-14 "
           "10:40#' " DEMO "canyon-week.json >t.json; stillwatt rehearse t.json --step 60");
    ck_assert_ptr_nonnull(strstr(run.err, "the last 40 min of the trip are shorter than a step of 60 min"));
    program_forget(&run);
}
END_TEST

START_TEST(check_lists_what_was_assumed)
{
    program_run run = expect(0, "stillwatt check " SW_SOURCE_DIR "/profiles/vans/*.json " SW_SOURCE_DIR
                                "/profiles/trips/*.json " SW_SOURCE_DIR "/profiles/parts/*.json");
    ck_assert_ptr_nonnull(strstr(run.out, "weekend-van.json: a good van file"));
    ck_assert_ptr_nonnull(strstr(run.out, "canyon-week.json: a good trip file"));
    ck_assert_ptr_nonnull(strstr(run.out, "lfp-100.json: a good part file"));
    ck_assert_ptr_nonnull(strstr(run.out, "van /battery/health"));
    ck_assert_ptr_nonnull(strstr(run.out, "payload"));
    ck_assert_str_eq(run.err, "");
    program_forget(&run);
}
END_TEST

START_TEST(json_and_text_tell_the_same_lowest_charge)
{
    program_run json = expect(0, "stillwatt rehearse " DEMO "desert-summer.json --json");
    program_run text = expect(0, "stillwatt rehearse " DEMO "desert-summer.json");
    cJSON *root = cJSON_Parse(json.out);
    ck_assert_ptr_nonnull(root);
    double lowest = cJSON_GetObjectItemCaseSensitive(cJSON_GetObjectItemCaseSensitive(root, "outcome"),
                                                     "lowest_charge_pct")
                        ->valuedouble;
    char words[64];
    snprintf(words, sizeof words, "stays above %d %%", (int)lowest);
    ck_assert_msg(strstr(text.out, words) != NULL, "the text does not say \"%s\":\n%.400s", words, text.out);
    cJSON_Delete(root);
    program_forget(&json);
    program_forget(&text);
}
END_TEST

START_TEST(the_same_input_gives_the_same_bytes)
{
    program_run a = expect(0, "stillwatt rehearse " DEMO "high-desert-tour.json --json");
    program_run b = expect(0, "stillwatt rehearse " DEMO "high-desert-tour.json --json");
    ck_assert_str_eq(a.out, b.out);
    program_forget(&a);
    program_forget(&b);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {command_lines_that_are_wrong_end_with_2_and_say_why,
                                  help_names_every_verb_and_option,
                                  a_file_that_cannot_be_read_ends_with_4,
                                  a_wrong_file_ends_with_3_and_leaves_nothing_behind,
                                  the_verdict_comes_first_and_every_line_fits_80_columns,
                                  one_demo_comes_out_under,
                                  require_judges_the_worse_of_average_and_poor_week,
                                  a_ledger_is_written_whole_with_a_row_per_hour,
                                  a_ledger_never_replaces_another_file,
                                  the_fullest_report_fits_80_columns_too,
                                  an_answer_that_cannot_be_written_ends_with_4,
                                  names_that_would_upset_a_terminal_are_refused,
                                  empty_arguments_are_a_wrong_command_line,
                                  a_draft_takes_a_month_for_its_first_day,
                                  a_tail_shorter_than_a_step_is_told,
                                  check_lists_what_was_assumed,
                                  json_and_text_tell_the_same_lowest_charge,
                                  the_same_input_gives_the_same_bytes,
                                  NULL};
    return sw_suite_with("program", tests, 30, set_up, tear_down);
}
