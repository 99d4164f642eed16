// A folder of weather files read as one record, and the years that it gives a trip.
#include "stillwatt/civil.h"
#include "stillwatt/series.h"
#include "support/checks.h"
#include "support/program.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char *folder;

static void set_up(void)
{
    folder = program_folder();
}

static void tear_down(void)
{
    program_remove(folder);
}

// ---- files ----

/* The light that every file here gives to an hour: no two hours of a year alike. */
static double light_of(int64_t begin_s)
{
    return (double)(begin_s / 3600 % 997);
}

typedef struct made {
    double lat_deg;
    int year, month, day, hours; // from midnight UTC on
    int missing_from, missing;   // hours without light, from one on
    const char *more;            // lines of the head
    int step_s;                  // 0: an hour; else rows are of this length, and counted in place of hours
} made;

static void write_file(const char *name, const made *m)
{
    static char text[1 << 20];
    int64_t start_s = sw_days_from_civil(m->year, m->month, m->day) * 86400;
    int length = snprintf(
        text, sizeof text,
        "# stillwatt weather 1\n# place: Made\n# latitude: %.4f\n# longitude: -109\n# elevation: 1700 "
        "m\n%sbegin,ghi [W/m2],air [C]\n",
        m->lat_deg, m->more != NULL ? m->more : "");
    for (int h = 0; h < m->hours; h++) {
        int64_t at_s = start_s + h * (m->step_s > 0 ? m->step_s : 3600);
        int year, month, day;
        char light[32] = "";
        sw_civil_from_days(at_s / 86400, &year, &month, &day);
        if (h < m->missing_from || h >= m->missing_from + m->missing)
            snprintf(light, sizeof light, "%.0f", light_of(at_s));
        length +=
            snprintf(text + length, sizeof text - (size_t)length, "%04d-%02d-%02dT%02d:%02dZ,%s,%d\n", year,
                     month, day, (int)(at_s % 86400 / 3600), (int)(at_s % 3600 / 60), light, h % 24);
    }
    program_write(folder, name, text);
}

typedef struct reading {
    sw_status status;
    sw_series *series;
    char says[4096]; // all messages
} reading;

static reading read_folder(const char *name)
{
    char path[1024];
    snprintf(path, sizeof path, "%s/%s", folder, name);
    sw_loader loader = sw_disk_loader(SW_SOURCE_DIR);
    sw_messages *messages = sw_messages_create();
    reading r = {.says = ""};
    r.status = sw_weather_load(&loader, path, NULL, NULL, messages, &r.series);
    for (int i = 0; i < (int)sw_messages_count(messages); i++) {
        char text[1024];
        sw_message_format(sw_messages_at(messages, i), text, sizeof text);
        snprintf(r.says + strlen(r.says), sizeof r.says - strlen(r.says), "%s\n", text);
    }
    sw_messages_free(messages);
    return r;
}

/* Rows of the record that hold the light of their hour; the others have none. */
static int lit_rows(const sw_series *series)
{
    int rows = 0;
    for (int i = 0; i < series->count; i++) {
        double light = series->row[i].ghi_w_m2;
        sw_expect(isnan(light) || fabs(light - light_of(series->start_s + (int64_t)i * 3600)) < 1e-9,
                  "row %d has the light of another hour", i);
        rows += !isnan(light);
    }
    return rows;
}

// ---- joining ----

START_TEST(years_that_follow_each_other_are_one_record)
{
    write_file("years/b.csv", &(made){.lat_deg = 38, .year = 2020, .month = 1, .day = 1, .hours = 8784});
    write_file("years/a.csv", &(made){.lat_deg = 38, .year = 2021, .month = 1, .day = 1, .hours = 8760});
    program_write(folder, "years/.hidden", "nothing");
    static const char *const names[] = {"years", "years/"};
    for (size_t i = 0; i < 2; i++) {
        reading r = read_folder(names[i]);
        ck_assert_msg(r.status == SW_OK, "%s", r.says);
        ck_assert_str_eq(r.says, "");
        ck_assert_int_eq(r.series->count, 8784 + 8760);
        ck_assert_int_eq(r.series->start_s, sw_days_from_civil(2020, 1, 1) * 86400);
        ck_assert_int_eq(lit_rows(r.series), 8784 + 8760);
        ck_assert_str_eq(r.series->place, "Made");
        sw_series_free(r.series);
    }
}
END_TEST

/* An hour between two files is a short gap, a year is a hole. */
START_TEST(what_is_missing_between_files_is_a_gap_or_a_hole)
{
    write_file("years/a.csv", &(made){.lat_deg = 38, .year = 2018, .month = 1, .day = 1, .hours = 8759});
    write_file("years/b.csv", &(made){.lat_deg = 38, .year = 2019, .month = 1, .day = 1, .hours = 8760});
    write_file("years/c.csv", &(made){.lat_deg = 38.01, .year = 2021, .month = 1, .day = 1, .hours = 24});
    reading r = read_folder("years");
    ck_assert_msg(r.status == SW_OK, "%s", r.says);
    ck_assert_int_eq(r.series->count, 8760 + 8760 + 8784 + 24);
    ck_assert_ptr_nonnull(
        strstr(r.says, "global radiation was missing in 1 rows, the first of 31 December 2018 24:00"));
    double before = light_of(sw_days_from_civil(2019, 1, 1) * 86400 - 7200),
           after = light_of(sw_days_from_civil(2019, 1, 1) * 86400);
    ck_assert_double_eq_tol(r.series->row[8759].ghi_w_m2, 0.5 * (before + after), 1e-9);
    r.series->row[8759].ghi_w_m2 = NAN; // looked at above
    ck_assert_int_eq(lit_rows(r.series), 8759 + 8760 + 24);
    ck_assert(isnan(r.series->row[8760 + 8760].air_c));
    sw_series_free(r.series);
}
END_TEST

START_TEST(days_in_two_files_are_those_of_the_earlier)
{
    write_file("years/a.csv", &(made){.lat_deg = 38, .year = 2020, .month = 12, .day = 30, .hours = 72});
    write_file("years/b.csv", &(made){.lat_deg = 38, .year = 2020, .month = 12, .day = 31, .hours = 8000});
    write_file("years/c.csv", &(made){.lat_deg = 38, .year = 2021, .month = 1, .day = 2, .hours = 30});
    reading r = read_folder("years");
    ck_assert_int_eq(r.status, SW_BAD_INPUT); // c.csv lies within b.csv, by more than two days of it
    ck_assert_ptr_nonnull(strstr(r.says, "years/b.csv are of the same dates"));
    write_file("years/c.csv", &(made){.lat_deg = 38, .year = 2021, .month = 11, .day = 28, .hours = 30});
    r = read_folder("years");
    ck_assert_msg(r.status == SW_OK, "%s", r.says);
    ck_assert_int_eq(r.series->count, 8024); // to the end of b.csv, a day after the beginning of a.csv
    ck_assert_int_eq(lit_rows(r.series), 8024);
    ck_assert_double_eq(r.series->row[71].air_c, 23.0); // of a.csv: its 72nd hour
    sw_series_free(r.series);
}
END_TEST

START_TEST(what_does_not_belong_together_is_refused)
{
    static const struct {
        made second;
        const char *says;
    } cases[] = {
        {{.lat_deg = 38.2, .year = 2021, .month = 1, .day = 1, .hours = 48}, "it is of another place"},
        {{.lat_deg = 38, .year = 2021, .month = 1, .day = 1, .hours = 48, .more = "# air: middle\n"},
         "its temperatures are of another moment of the hour"},
        {{.lat_deg = 38, .year = 2001, .month = 1, .day = 1, .hours = 8760, .more = "# year: typical\n"},
         "a folder of weather holds real years"},
        {{.lat_deg = 38, .year = 2020, .month = 1, .day = 1, .hours = 8784},
         "years/a.csv are of the same dates"},
    };
    write_file("years/a.csv", &(made){.lat_deg = 38, .year = 2020, .month = 1, .day = 1, .hours = 8784});
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        write_file("years/b.csv", &cases[i].second);
        reading r = read_folder("years");
        ck_assert_msg(r.status == SW_BAD_INPUT && strstr(r.says, cases[i].says) != NULL, "case %zu: %s", i,
                      r.says);
        ck_assert_ptr_null(r.series);
    }
    program_write(folder, "years/b.csv", "hello\n");
    reading r = read_folder("years");
    ck_assert_int_eq(r.status, SW_BAD_INPUT);
    ck_assert_ptr_nonnull(strstr(r.says, "years/b.csv:1: this is no weather file"));
}
END_TEST

START_TEST(a_hole_of_a_century_is_refused)
{
    write_file("years/a.csv",
               &(made){.lat_deg = 38, .year = 1971, .month = 1, .day = 1, .hours = 96, .step_s = 900});
    write_file("years/b.csv",
               &(made){.lat_deg = 38, .year = 2100, .month = 1, .day = 1, .hours = 96, .step_s = 900});
    reading r = read_folder("years");
    ck_assert_int_eq(r.status, SW_BAD_INPUT);
    ck_assert_msg(strstr(r.says, "there are more than 2108160 rows") != NULL, "%s", r.says);
}
END_TEST

// ---- years of a trip ----

static void write_trip(const char *from, const char *to, const char *more)
{
    char trip[2048];
    snprintf(trip, sizeof trip,
             "{\"format\": \"stillwatt trip 1\", \"name\": \"t\", \"van\": \"" SW_SOURCE_DIR
             "/profiles/vans/weekend-van.json\", \"places\": {\"p\": {\"latitude\": 38, \"longitude\": -109, "
             "\"elevation\": \"1700 m\", \"zone\": \"America/Denver\"}}, \"legs\": [{\"stay\": \"p\", "
             "\"from\": \"%s\", "
             "\"to\": \"%s\"}], \"sky\": {\"kind\": \"hourly\", \"file\": \"years\"%s}}",
             from, to, more);
    program_write(folder, "trip.json", trip);
}

/* The years of the first words of the lines of a table. */
static void years_of(const char *text, char *out, size_t size)
{
    out[0] = '\0';
    for (const char *line = text; line != NULL;
         line = strchr(line, '\n') != NULL ? strchr(line, '\n') + 1 : NULL) {
        int year, end = 0;
        double sun, flat;
        if (sscanf(line, "%4d %lf %lf%n", &year, &sun, &flat, &end) == 3 && end > 0)
            snprintf(out + strlen(out), size - strlen(out), "%d ", year);
    }
}

static void expect_years(const char *from, const char *to, const char *want)
{
    char years[512];
    write_trip(from, to, ", \"year\": 1900"); // which does not matter here
    program_run run = program_expect(folder, 0, "stillwatt sky years trip.json");
    years_of(run.out, years, sizeof years);
    ck_assert_msg(strcmp(years, want) == 0, "%s to %s: %s\n%s", from, to, years, run.out);
    program_forget(&run);
}

/* 2018, 2019 and 2020 whole but for two days of light in July 2019; a hole; 2022. */
static void write_years(void)
{
    write_file("years/2018.csv", &(made){.lat_deg = 38, .year = 2018, .month = 1, .day = 1, .hours = 8760});
    write_file("years/2019.csv", &(made){.lat_deg = 38,
                                         .year = 2019,
                                         .month = 1,
                                         .day = 1,
                                         .hours = 8760,
                                         .missing_from = 4400,
                                         .missing = 48}); // hour 4344 begins 1 July
    write_file("years/2020.csv", &(made){.lat_deg = 38, .year = 2020, .month = 1, .day = 1, .hours = 8784});
    write_file("years/2022.csv", &(made){.lat_deg = 38, .year = 2022, .month = 1, .day = 1, .hours = 8760});
}

START_TEST(a_trip_has_the_years_that_hold_its_dates_whole)
{
    write_years();
    expect_years("2026-03-02 10:00", "2026-03-05 10:00", "2018 2019 2020 2022 ");
    expect_years("2026-07-02 10:00", "2026-07-05 10:00", "2018 2020 2022 ");
    expect_years("2026-07-10 10:00", "2026-07-12 10:00", "2018 2019 2020 2022 ");
    expect_years("2026-12-28 10:00", "2027-01-03 10:00",
                 "2018 2019 "); // over New Year, by the year it begins in
    expect_years("2028-02-27 10:00", "2028-03-02 10:00", "2018 2019 2020 2022 ");
    expect_years("2028-02-29 00:00", "2028-02-29 12:00", "2018 2019 2020 2022 ");
}
END_TEST

/* Which year a rehearsal takes if none is asked for: the latest with nothing missing. */
START_TEST(the_latest_whole_year_stands_for_a_trip)
{
    static const struct {
        const char *from, *to, *more, *says;
        int status;
    } cases[] = {
        {"2026-07-02 10:00", "2026-07-05 10:00", "", "those of 2022 stand for them", 0},
        {"2026-12-28 10:00", "2027-01-03 10:00", "", "those of 2019 stand for them", 0},
        {"2026-07-02 10:00", "2026-07-05 10:00", ", \"year\": 2019",
         "has no global radiation in the hours from 3 July 2019 09:00 to 5 July 2019 08:00", 3},
        {"2026-07-02 10:00", "2026-07-05 10:00", ", \"year\": 2021",
         "has no global radiation in the hours from", 3},
        {"2026-07-02 10:00", "2026-07-05 10:00", ", \"year\": 2017", "does not cover the trip in 2017", 3},
    };
    write_years();
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        write_trip(cases[i].from, cases[i].to, cases[i].more);
        program_run run = program_expect(folder, cases[i].status, "stillwatt rehearse trip.json");
        ck_assert_msg(strstr(run.err, cases[i].says) != NULL, "case %zu: %s", i, run.err);
        program_forget(&run);
    }
}
END_TEST

/* The row of a year is what the trip shows in that year: means of 24 hours of its days. */
START_TEST(the_row_of_a_year_is_the_sky_of_that_year)
{
    program_run all = program_expect(
        folder, 0, "stillwatt sky years " SW_SOURCE_DIR "/profiles/trips/canyon-week-years.json");
    program_run one =
        program_expect(folder, 0, "stillwatt sky " SW_SOURCE_DIR "/profiles/trips/canyon-week-years.json");
    double year_flat = 0.0, year_sun = 0.0, sun, flat, sum_sun = 0.0, sum_flat = 0.0;
    const char *row = strstr(all.out, "\n2022");
    ck_assert_ptr_nonnull(row);
    ck_assert_int_eq(sscanf(row, "\n2022 %lf %lf", &year_sun, &year_flat), 2);
    for (const char *at = strstr(one.out, " Nov"); at != NULL; at = strstr(at + 4, " Nov"))
        if (sscanf(at, " Nov%*[ ~]%lf %lf", &sun, &flat) == 2) {
            sum_sun += sun;
            sum_flat += flat;
        }
    ck_assert_double_eq_tol(year_flat, sum_flat / 7.0,
                            0.011); // seven days from 10:00 to 10:00; shown to 0.01
    ck_assert_double_eq_tol(year_sun, sum_sun / 7.0, 0.11);
    program_forget(&all);
    program_forget(&one);
}
END_TEST

START_TEST(what_has_no_years_says_so)
{
    static const struct {
        const char *command, *says;
        int status;
    } cases[] = {
        {"stillwatt sky years", "use: stillwatt sky years TRIP", 2},
        {"stillwatt sky years a b", "use: stillwatt sky years TRIP", 2},
        {"stillwatt sky years a --chart b.svg", "`sky years` has no option --chart", 2},
        {"stillwatt sky years " SW_SOURCE_DIR "/profiles/trips/canyon-week.json",
         "only an hourly sky has years", 3},
        {"stillwatt sky years trip.json",
         "no year of the weather record of Made has the dates of the trip whole", 3},
        {"stillwatt sky years typical.json", "is a typical year: it has one sky only", 3},
    };
    write_file("years/a.csv", &(made){.lat_deg = 38, .year = 2020, .month = 1, .day = 1, .hours = 48});
    write_trip("2026-07-02 10:00", "2026-07-05 10:00", "");
    char *text = program_read(folder, "trip.json"), *file = strstr(text, "\"years\"");
    memcpy(file, "\"b.csv\"", strlen("\"b.csv\""));
    program_write(folder, "typical.json", text);
    free(text);
    write_file(
        "b.csv",
        &(made){
            .lat_deg = 38, .year = 2001, .month = 1, .day = 1, .hours = 8760, .more = "# year: typical\n"});
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        program_run run = program_expect(folder, cases[i].status, cases[i].command);
        ck_assert_msg(strstr(run.err, cases[i].says) != NULL, "`%s` says: %s", cases[i].command, run.err);
        program_forget(&run);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        years_that_follow_each_other_are_one_record,
        what_is_missing_between_files_is_a_gap_or_a_hole,
        days_in_two_files_are_those_of_the_earlier,
        what_does_not_belong_together_is_refused,
        a_hole_of_a_century_is_refused,
        a_trip_has_the_years_that_hold_its_dates_whole,
        the_latest_whole_year_stands_for_a_trip,
        the_row_of_a_year_is_the_sky_of_that_year,
        what_has_no_years_says_so,
        NULL,
    };
    return sw_suite_with("weather folder", tests, 60, set_up, tear_down);
}
