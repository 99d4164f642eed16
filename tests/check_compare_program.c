// The program `compare`: rows that grow, are interrupted in every way, gone on with, and are in the end the
// bytes of a run that nobody disturbed.
#include "support/checks.h"
#include "support/program.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define COMPARE "stillwatt compare study.json --step 30 --csv rows.csv"

static const char study[] =
    "{\"format\": \"stillwatt study 1\", \"name\": \"Which upgrade, \\\"now\\\"?\", \"hookup_price\": \"40 "
    "USD\",\n"
    " \"trips\": [\"trips/a.json\"], \"draws\": 12, \"months\": [\"november\", \"may\"],\n"
    " \"choices\": {\"a panel, or two\": {\"van\": {\"arrays\": {\"roof\": {\"panels\": 4}}}, \"price\": "
    "\"300 USD\"},\n"
    " \"\\\"units\\\"\": {\"van\": {\"battery\": {\"parallel\": 3}}}}}\n";

/* A folder with a study of the demo trip: 24 blocks of three rows. */
static char *workshop(void)
{
    char *folder = program_folder(), command[600];
    program_write(folder, "study.json", study);
    snprintf(command, sizeof command,
             "mkdir -p trips vans && cp %s/profiles/trips/canyon-week.json trips/a.json && "
             "cp %s/profiles/vans/weekend-van.json vans/",
             SW_SOURCE_DIR, SW_SOURCE_DIR);
    program_run run = program_expect(folder, 0, command);
    program_forget(&run);
    return folder;
}

static void says(const char *text, const char *words)
{
    if (text == NULL || strstr(text, words) == NULL)
        ck_abort_msg("\"%s\" is not in: %s", words, text != NULL ? text : "");
}

static void expect_says(const char *folder, int exit_status, const char *command, const char *out,
                        const char *err)
{
    program_run run = program_expect(folder, exit_status, command);
    says(run.out, out);
    says(run.err, err);
    program_forget(&run);
}

/* What an undisturbed run writes and says. */
static char *whole_rows(const char *folder, char **said)
{
    program_run run = program_expect(folder, 0, COMPARE " --json");
    *said = run.out;
    free(run.err);
    char *rows = program_read(folder, "rows.csv");
    if (rows == NULL)
        ck_abort_msg("no rows were written");
    ck_assert_ptr_null(program_read(folder, "rows.csv.part"));
    run = program_expect(folder, 0, "rm rows.csv");
    program_forget(&run);
    return rows;
}

static void expect_whole(const char *folder, const char *rows, const char *said, const char *command)
{
    program_run run = program_expect(folder, 0, command);
    char *again = program_read(folder, "rows.csv");
    ck_assert_msg(again != NULL && strcmp(again, rows) == 0, "other rows after: %s", command);
    ck_assert_str_eq(run.out, said);
    ck_assert_ptr_null(program_read(folder, "rows.csv.part"));
    program_forget(&run);
    free(again);
}

// ---- interrupted ----

/* As a kill or a power cut leaves it: at any byte. */
START_TEST(a_file_cut_anywhere_is_gone_on_with)
{
    char *folder = workshop(), *said, *rows = whole_rows(folder, &said);
    size_t length = strlen(rows), head = (size_t)(strstr(strstr(rows, "\r\n") + 2, "\r\n") + 2 - rows);
    ck_assert_uint_gt(length, 2000);
    for (size_t cut = 0; cut <= length; cut += cut < head - 40                      ? 61
                                               : cut < head + 3 || cut > length - 8 ? 1
                                                                                    : 397) {
        char *part = strdup(rows);
        part[cut] = '\0';
        program_write(folder, "rows.csv.part", part);
        expect_whole(folder, rows, said, COMPARE " --json --resume; exec true");
        free(part);
        program_run run = program_expect(folder, 0, "rm rows.csv");
        program_forget(&run);
    }
    free(rows);
    free(said);
    program_remove(folder);
}
END_TEST

START_TEST(a_signal_leaves_whole_rows)
{
    static const char *const signals[] = {"INT", "TERM", "KILL"};
    char *folder = workshop(), *said, *rows = whole_rows(folder, &said);
    int parts = 0;
    for (int i = 0; i < 9; i++) {
        char command[600];
        // Long enough that the signal comes in the middle, at one-minute steps.
        snprintf(command, sizeof command,
                 "rm -f rows.csv*; OMP_NUM_THREADS=1 " SW_PROGRAM
                 " compare study.json --step 1 --csv rows.csv "
                 ">said 2>&1 & pid=$!; sleep 0.%d; kill -%s $pid; wait $pid; echo $?; ls rows.csv.part 2>&1",
                 1 + i % 4, signals[i % 3]);
        program_run run = program_do(folder, command);
        int status = atoi(run.out);
        if (strstr(run.out, "cannot access") == NULL && status != 0) {
            ck_assert_msg(status == (i % 3 == 2 ? 137 : 4), "%d after %s", status, signals[i % 3]);
            parts++;
            program_run again = program_expect(
                folder, 0,
                "stillwatt compare study.json --step 1 --csv rows.csv --resume; mv rows.csv resumed.csv");
            program_forget(&again);
        }
        program_forget(&run);
    }
    ck_assert_int_gt(parts, 1); // on a fast machine most of them come too late
    program_run run = program_expect(
        folder, 0,
        "stillwatt compare study.json --step 1 --csv rows.csv >said; cmp rows.csv resumed.csv && echo same");
    ck_assert_ptr_nonnull(strstr(run.out, "same"));
    program_forget(&run);
    free(rows);
    free(said);
    program_remove(folder);
}
END_TEST

START_TEST(a_full_disk_keeps_what_was_written)
{
    char *folder = workshop(), *said, *rows = whole_rows(folder, &said);
    expect_says(folder, 4, "ulimit -f 2; " COMPARE, "",
                "its finished rows stay, and --resume goes on with them");
    expect_whole(folder, rows, said, COMPARE " --json --resume");
    free(rows);
    free(said);
    program_remove(folder);
}
END_TEST

START_TEST(threads_write_the_same_bytes)
{
    char *folder = workshop(), *said, *rows = whole_rows(folder, &said), command[200];
    for (int threads = 1; threads <= 3; threads++) {
        snprintf(command, sizeof command, "rm -f rows.csv; OMP_NUM_THREADS=%d " COMPARE " --json", threads);
        expect_whole(folder, rows, said, command);
    }
    expect_whole(folder, rows, said, COMPARE " --json --resume"); // nothing is left to do
    free(rows);
    free(said);
    program_remove(folder);
}
END_TEST

// ---- refused ----

START_TEST(rows_of_other_inputs_are_not_gone_on_with)
{
    char *folder = workshop(), *said, *rows = whole_rows(folder, &said);
    rows[strlen(rows) / 2] = '\0';
    program_write(folder, "rows.csv.part", rows);
    expect_says(folder, 4, COMPARE, "", "--resume goes on with it, or delete it");
    expect_says(folder, 3, "stillwatt compare study.json --step 15 --csv rows.csv --resume", "",
                "of other inputs or options");
    expect_says(folder, 3, "sed -i 's/14 W/15 W/' vans/weekend-van.json; " COMPARE " --resume", "",
                "of other inputs or options");
    expect_says(folder, 0, "sed -i 's/15 W/14 W/' vans/weekend-van.json; " COMPARE " --resume", "", "");
    // A row that is none.
    expect_says(folder, 3, "sed '5s/,/;/g' rows.csv >rows.csv.part; rm rows.csv; " COMPARE " --resume", "",
                "what follows row 2 is no row of a study");
    expect_says(folder, 4, "rm rows.csv.part; echo mine >rows.csv; " COMPARE, "", "holds something else");
    expect_says(folder, 2, "stillwatt compare study.json --resume", "", "name the file");
    expect_says(folder, 2, "stillwatt compare study.json study.json", "", "--trip TRIP");
    expect_says(folder, 2, "stillwatt compare vans/weekend-van.json --trip trips/a.json", "",
                "two or more van files");
    expect_says(folder, 3, "stillwatt compare trips/a.json", "",
                "this is a trip file, but a study file is wanted");
    expect_says(folder, 3, "stillwatt rehearse study.json", "",
                "this is a study file, but a trip file is wanted");
    expect_says(folder, 3, "stillwatt compare study.json trips/a.json --trip trips/a.json", "",
                "but a van file is wanted");
    free(rows);
    free(said);
    program_remove(folder);
}
END_TEST

/* Also behind the look at the rows that are there. */
START_TEST(one_run_alone_writes_the_rows)
{
    char *folder = workshop(), *said, *rows = whole_rows(folder, &said);
    rows[strlen(rows) / 2] = '\0';
    program_write(folder, "rows.csv.part", rows);
    expect_says(folder, 4, "exec 9<>rows.csv.part; flock 9; " COMPARE " --resume", "",
                "rows.csv.part is being written by another run");
    // Stopped twice; the second run has read what the first left, and writes on.
    expect_says(
        folder, 0,
        "rm rows.csv.part; sed -i 's/\"draws\": 12/\"draws\": 5000/' study.json; run='" SW_PROGRAM
        " compare study.json --csv rows.csv --resume'; size() { stat -c %s rows.csv.part || echo 0; };"
        "wait_for() { for i in $(seq 500); do [ $(size) -gt $1 ] && break; sleep 0.01; done; };"
        "$run >said 2>&1 & pid=$!; wait_for 3000; kill $pid; wait $pid; was=$(size);"
        "$run >said 2>&1 & pid=$!; wait_for $was; flock -n rows.csv.part true || echo held;"
        "kill $pid; wait $pid; grep -c interrupted said",
        "held\n1\n", "");
    free(rows);
    free(said);
    program_remove(folder);
}
END_TEST

/* Records count as inputs wherever a case reads them: the sky of one choice, the year of the second month. */
START_TEST(other_records_are_other_inputs)
{
    static const char records[] =
        "{\"format\": \"stillwatt study 1\", \"name\": \"Records\", \"trips\": [\"trips/a.json\"],"
        " \"months\": [\"november\", \"january\"], \"choices\": {\"measured\": {\"trip\":"
        " {\"sky\": {\"kind\": \"hourly\", \"file\": \"years\"}}}}}\n";
    static const char *const changed[] = {"years/2026.csv", "years/2027.csv"};
    char *folder = workshop();
    program_write(folder, "study.json", records);
    expect_says(folder, 0,
                "mkdir years; cp " SW_SOURCE_DIR "/weather/invented-rim-week.csv years/2026.csv; "
                "sed s/2026-11/2027-01/ years/2026.csv >years/2027.csv",
                "", "");
    for (int i = 0; i < 2; i++) {
        char command[200];
        expect_says(folder, 0, COMPARE "; head -c -200 rows.csv >rows.csv.part; rm rows.csv", "", "");
        snprintf(command, sizeof command, "sed -i '$ s/-2.3,/-2.4,/' %s; %s --resume", changed[i], COMPARE);
        expect_says(folder, 3, command, "", "of other inputs or options");
        expect_says(folder, 0, "rm rows.csv.part", "", "");
    }
    program_remove(folder);
}
END_TEST

/* Each is told at the place in the file that somebody wrote. */
START_TEST(wrong_studies_are_told_where)
{
    static const struct {
        const char *from, *to, *told;
    } wrong[] = {
        {"\"draws\": 12", "\"draws\": 0", "study.json:2:"},
        {"\"november\"", "\"nevember\"", "did you mean \"november\"?"},
        {"trips/a.json", "trips/b.json",
         "study.json:2:12: /trips/0: the file trips/b.json could not be read"},
        {"\"panels\": 4", "\"panels\": 400", "study.json:3:"},
        {"\"panels\": 4", "\"panel\": 4", "/choices/a panel, or two/van/arrays/roof/panel"},
        {"{\"van\": {\"battery\": {\"parallel\": 3}}}", "{\"price\": \"3 USD\"}", "changes nothing"},
        {"{\"van\": {\"battery\": {\"parallel\": 3}}}", "{\"van\": 3}",
         "the keys that change are expected here"},
        {"{\"van\": {\"battery\": {\"parallel\": 3}}}", "{\"van\": {\"battery\": null}}", "\"battery\""},
        {"\"300 USD\"", "\"300 EUR\"", "one currency"},
        {"\"trips\": [\"trips/a.json\"]", "\"trips\": []", "a list of 1 to 200"},
        {"\"trips\": [\"trips/a.json\"]", "\"trips\": [7]", "the name of a trip file is expected here"},
        {"\"draws\": 12", "\"start_charges\": [\"120 %\"]", "must lie between"},
        {"\"draws\": 12", "\"skies\": {\"dull\": {\"kind\": \"told\"}}", "study.json:2:"},
        {"\"draws\": 12", "\"skies\": {\"year\": {\"kind\": \"hourly\", \"file\": \"no.epw\"}}", "no.epw"},
        {"\"draws\": 12",
         "\"skies\": {\"dull\": {\"kind\": \"told\", \"otherwise\": \"few\", \"days\": {\"2026-11-06\": 8}}}",
         "days are told by date, but \"months\" moves the trips to other dates"},
        {"\"choices\": {", "\"choices\": {}, \"x\": {", "1 to 999 choices"},
    };
    char *folder = workshop();
    for (size_t i = 0; i < sizeof wrong / sizeof wrong[0]; i++) {
        char text[2000];
        const char *at = strstr(study, wrong[i].from);
        ck_assert_msg(at != NULL, "%s", wrong[i].from);
        snprintf(text, sizeof text, "%.*s%s%s", (int)(at - study), study, wrong[i].to,
                 at + strlen(wrong[i].from));
        program_write(folder, "study.json", text);
        expect_says(folder, 3, COMPARE, "", wrong[i].told);
        expect_says(folder, 0, "ls", "study.json\ntrips\nvans\n", "");
    }
    program_remove(folder);
}
END_TEST

// ---- said ----

START_TEST(the_answer_fits_a_terminal_and_the_picture_is_one)
{
    char *folder = workshop();
    program_run run = program_expect(folder, 0, "stillwatt compare study.json --chart study.svg");
    ck_assert_ptr_nonnull(strstr(run.out, "Which upgrade, \"now\"?"));
    ck_assert_ptr_nonnull(strstr(run.out, "72 rehearsals: 3 choices, 1 trip, 2 months, 12 skies"));
    for (char *line = strtok(run.out, "\n"); line != NULL; line = strtok(NULL, "\n"))
        ck_assert_msg(strlen(line) <= 80, "too wide: %s", line);
    char *svg = program_read(folder, "study.svg");
    ck_assert_ptr_nonnull(svg);
    ck_assert_ptr_nonnull(strstr(svg, "a panel, or two"));
    ck_assert_ptr_nonnull(strstr(svg, "&quot;units&quot;"));
    program_forget(&run);
    free(svg);
    expect_says(folder, 0, "stillwatt check study.json", "study.json: a good study file", "");
    program_remove(folder);
}
END_TEST

/* A demo study with other choices, under its first start charge, in American units. */
static program_run said_of(const char *folder, const char *choices)
{
    char text[2000];
    snprintf(text, sizeof text,
             "{\"format\": \"stillwatt study 1\", \"name\": \"Which?\", \"trips\": [\"trips/a.json\"], "
             "\"draws\": 3, \"months\": [\"may\"], \"choices\": {%s}}\n",
             choices);
    program_write(folder, "study.json", text);
    return program_expect(folder, 0, "stillwatt compare study.json --units us --chart study.svg");
}

/* In May the van holds as it is. */
START_TEST(an_answer_is_told_as_it_is)
{
    static const struct {
        const char *choices, *says;
    } cases[] = {
        {"\"less\": {\"van\": {}, \"price\": \"-50 USD\"}",
         "For 50 USD less, \"less\" is enough as well: it holds in 3 of 3 cases, and \"as it"},
        {"\"less\": {\"van\": {}, \"price\": \"-50 USD\"}", "\"less\" (50 USD less) holds in 100 %"},
        {"\"more\": {\"van\": {\"battery\": {\"parallel\": 3}}}", " lb "},
        {"\"lead\": {\"trip\": {\"reserve\": \"50 %\"}}",
         "Reserve lines by which they are judged: \"as it is\" 20 %, \"lead\" 50 %."},
    };
    char *folder = workshop();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        program_run run = said_of(folder, cases[i].choices);
        says(run.out, cases[i].says);
        ck_assert_ptr_null(strstr(run.out, "kg"));
        program_forget(&run);
    }
    program_remove(folder);
}
END_TEST

/* Names of any length and letters: the picture stays a text. */
START_TEST(a_long_name_is_cut_between_letters)
{
    enum { LETTERS = 60 };
    char *folder = workshop();
    for (int before = 0; before < 4; before++) {
        char choice[4 * LETTERS + 100] = "\"";
        for (int i = 0; i < before; i++)
            strcat(choice, "a");
        for (int i = 0; i < LETTERS; i++)
            strcat(choice, "\xF0\x9F\x98\x80");
        strcat(choice, "\": {\"van\": {}, \"price\": \"1 USD\"}");
        program_run run = said_of(folder, choice);
        program_forget(&run);
        run = program_expect(folder, 0, "iconv -f UTF-8 -t UTF-16 study.svg > /dev/null");
        program_forget(&run);
    }
    program_remove(folder);
}
END_TEST

/* The first row of the rows is what `rehearse` says of the same case. */
START_TEST(a_row_says_what_rehearse_says)
{
    char *folder = workshop(), *said, *rows = whole_rows(folder, &said), lowest[40], json[80];
    program_run run = program_expect(folder, 0,
                                     "sed -i 's/\"kind\": \"average\"/\"kind\": \"chance\", \"draw\": 1/; "
                                     "s/2026-11/2027-05/g' trips/a.json; "
                                     "stillwatt rehearse trips/a.json --step 30 --json");
    const char *row = strstr(rows, "\r\n1,");
    ck_assert_ptr_nonnull(row);
    ck_assert_int_eq(sscanf(row, "\r\n1,trips/a.json,may,drawn 1,,as it is,%*[a-z],%39[^,]", lowest), 1);
    snprintf(json, sizeof json, "\"lowest_charge_pct\":\t%s", lowest);
    ck_assert_msg(strstr(run.out, json) != NULL, "%s is not in %s", json, run.out);
    program_forget(&run);
    free(rows);
    free(said);
    program_remove(folder);
}
END_TEST

/* Told before the work, so that no hour of it is lost. */
START_TEST(a_picture_that_cannot_be_written_is_told_first)
{
    char *folder = workshop();
    expect_says(folder, 4, "stillwatt compare study.json --csv rows.csv --chart no/study.svg", "",
                "could not write no/study.svg");
    expect_says(folder, 4, "stillwatt compare study.json --csv rows.csv --chart study.json", "",
                "study.json is there and holds something else; it is not replaced");
    expect_says(folder, 2, "stillwatt compare study.json --csv one --chart one", "",
                "--csv and --chart name the same file");
    expect_says(folder, 4, "stillwatt odds trips/a.json --chart no/months.svg", "",
                "could not write no/months.svg");
    expect_says(folder, 0, "ls", "study.json\ntrips\nvans\n", "");
    program_remove(folder);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {a_file_cut_anywhere_is_gone_on_with,
                                  a_signal_leaves_whole_rows,
                                  a_full_disk_keeps_what_was_written,
                                  threads_write_the_same_bytes,
                                  rows_of_other_inputs_are_not_gone_on_with,
                                  one_run_alone_writes_the_rows,
                                  other_records_are_other_inputs,
                                  wrong_studies_are_told_where,
                                  the_answer_fits_a_terminal_and_the_picture_is_one,
                                  an_answer_is_told_as_it_is,
                                  a_long_name_is_cut_between_letters,
                                  a_picture_that_cannot_be_written_is_told_first,
                                  a_row_says_what_rehearse_says,
                                  NULL};
    return sw_suite_of("compare program", tests, 300);
}
