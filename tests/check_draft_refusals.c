// What draft refuses, and that it then writes nothing; and texts that are hard to write.
#include "support/checks.h"
#include "support/workshop.h"

#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

START_TEST(wrong_options_are_told_in_one_line_and_nothing_is_written)
{
    static const struct {
        const char *words;
        int status;
        const char *says;
    } cases[] = {
        {"--station Moabb", 2, "did you mean Moab Canyonlands Field UT?"},
        {"--station Qqqqzzzz", 2, "no station like \"Qqqqzzzz\""},
        {"--station Springfield", 2, "does not name one station"},
        {"--from 2026-02-30", 2, "is not a date"},
        {"--from '2026-02-03 10:00'", 2, "is not a date"},
        {"--from 1999-12-31", 2, "between 2000 and 2100"},
        {"--nights 0", 2, "from 1 to 90"},
        {"--nights 99999999999999999999", 2, "from 1 to 90"},
        {"--nights -1", 2, "an answer would be 10"},
        {"--people two", 2, "an answer would be 3"},
        {"--panels 200", 2, "an answer would be 3 x 175 W"},
        {"--panels '2 x 200 Ah'", 2, "an answer would be 3 x 175 W"},
        {"--panels '0 x 200 W'", 2, "an answer would be 3 x 175 W"},
        {"--panels '41 x 10 W'", 2, "at most 40 panels"},
        {"--panels '20 x 300 W'", 2, "5000 W together"},
        {"--battery '200 Ah'", 2, "does not end with lifepo4 or agm"},
        {"--battery '200 Ah gel'", 2, "does not end with lifepo4 or agm"},
        {"--battery '200 W agm'", 2, "an answer would be 2 x 105 Ah agm"},
        {"--battery '33 x 100 Ah agm'", 2, "at most 32 units"},
        {"--inverter 2000", 2, "an answer would be 1200 W"},
        {"--inverter '10 W'", 2, "20 to 20000 W"},
        {"--inverter none --cooking kettle", 2, "kettle needs an inverter of 1000 W"},
        {"--inverter '1100 W' --cooking induction", 2, "induction needs an inverter of 1200 W"},
        {"--cooking wood", 2, "kettle, induction or gas"},
        {"--shore maybe", 2, "yes or no, not \"maybe\""},
        {"--lights 13", 2, "from 0 to 12"},
        {"--out nowhere", 4, "nowhere"},
        {"--out ../file", 4, "is not a folder"},
        {"--name \"$(printf 'a\\377')\"", 2, "not UTF-8"},
        {"--station \"$(printf 'Moab \\377')\"", 2, "--station"},
        {"--van van.json", 2, "belongs to `draft trip`"},
        {"van --nights 3", 2, "no use for --nights"},
        {"trip --people 3 --van van.json", 2, "no use for --people"},
        {"trip --name X --van van.json", 2, "no use for --name"},
        {"trip", 2, "--van FILE"},
        {"plan", 2, "not \"plan\""},
        {"--nigths 3", 2, "did you mean --nights?"},
    };
    workshop_begin();
    workshop_write("file", "");
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        int status = workshop_run("draft %s", cases[i].words);
        ck_assert_msg(status == cases[i].status, "%s: exit %d: %s", cases[i].words, status, workshop_err);
        ck_assert_msg(strstr(workshop_err, cases[i].says) != NULL, "%s: %s", cases[i].words, workshop_err);
        ck_assert_msg(workshop_count(workshop_err, "\n") == 1, "%s: %s", cases[i].words, workshop_err);
        ck_assert_str_eq(workshop_out, "");
        workshop_assert_empty();
    }
    workshop_end();
}
END_TEST

START_TEST(existing_files_stay_unless_forced)
{
    static char text[1 << 14];
    workshop_begin();
    workshop_write("work/trip.json", "mine");
    ck_assert_int_eq(workshop_run("draft --nights 2"), 4);
    ck_assert_ptr_nonnull(strstr(workshop_err, "trip.json exists already"));
    ck_assert_ptr_nonnull(strstr(workshop_err, "--force"));
    ck_assert(!workshop_has("work/van.json"));
    workshop_read("work/trip.json", text, sizeof text);
    ck_assert_str_eq(text, "mine");
    ck_assert_int_eq(workshop_run("draft van --people 2"), 0); // the trip is not in its way
    ck_assert_int_eq(workshop_run("draft --nights 2 --force"), 0);
    workshop_read("work/trip.json", text, sizeof text);
    ck_assert_ptr_nonnull(strstr(text, "stillwatt trip 1"));
    workshop_end();
}
END_TEST

START_TEST(a_trip_that_cannot_take_its_place_leaves_the_van_as_it_was)
{
    static char text[1 << 14];
    workshop_begin();
    workshop_write("work/van.json", "mine");
    ck_assert_int_eq(mkdir(workshop_path("work/trip.json"), 0755), 0);
    ck_assert_int_eq(workshop_run("draft --nights 2 --force"), 4);
    workshop_read("work/van.json", text, sizeof text);
    ck_assert_str_eq(text, "mine");
    workshop_end();
}
END_TEST

/* For root no mode forbids writing, but the kernel lets nobody make files in /proc. */
START_TEST(a_folder_that_takes_no_files_is_told_and_gets_none)
{
    const char *folder = "/proc";
    workshop_begin();
    if (geteuid() != 0) {
        folder = "closed";
        ck_assert_int_eq(mkdir(workshop_path("work/closed"), 0555), 0);
    }
    ck_assert_int_eq(workshop_run("draft --nights 2 --out %s", folder), 4);
    ck_assert_ptr_nonnull(strstr(workshop_err, folder));
    ck_assert_int_eq(workshop_count(workshop_err, "\n"), 1);
    ck_assert_str_eq(workshop_out, "");
    ck_assert(!workshop_has("work/closed/van.json") && !workshop_has("work/closed/van.json.new.part"));
    ck_assert(access("/proc/van.json", F_OK) != 0);
    workshop_end();
}
END_TEST

START_TEST(names_keep_every_character)
{
    static const char name[] = "Our \"old\" \\ van // */ \xC3\xA9\xE2\x82\xAC";
    workshop_begin();
    workshop_write("name", name);
    ck_assert_int_eq(mkdir(workshop_path("work/a \"b\" \\ \xC3\xA9"), 0755), 0);
    ck_assert_int_eq(workshop_run("draft van --out 'a \"b\" \\ \xC3\xA9' --name \"$(cat ../name)\""), 0);
    ck_assert_int_eq(
        workshop_run(
            "draft trip --nights 2 --station '\"Moab\" \\, UT' --van 'a \"b\" \\ \xC3\xA9/van.json'"),
        0);
    sw_plan *plan = workshop_plan("work/trip.json");
    ck_assert_str_eq(plan->van->name, name);
    ck_assert_str_eq(plan->trip->place[0].station, "\"Moab\" \\, UT");
    sw_plan_free(plan);
    ck_assert_int_eq(workshop_run("draft van --force --name \"$(printf 'a\\033b')\""), 2);
    ck_assert_ptr_nonnull(strstr(workshop_err, "one line of plain text"));
    workshop_end();
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        wrong_options_are_told_in_one_line_and_nothing_is_written,
        existing_files_stay_unless_forced,
        a_trip_that_cannot_take_its_place_leaves_the_van_as_it_was,
        a_folder_that_takes_no_files_is_told_and_gets_none,
        names_keep_every_character,
        NULL,
    };
    return sw_suite_of("draft_refusals", tests, 60);
}
