// The program's sky verb: what it shows, draws and converts, and what it refuses.
#include "support/checks.h"
#include "support/program.h"
#include "support/workshop.h"

#include <math.h>
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

/* The sum of a column of numbers in lines that begin with a weekday. */
static double sum_of(const char *text, int column)
{
    double sum = 0.0;
    for (const char *line = text; line != NULL;
         line = strchr(line, '\n') != NULL ? strchr(line, '\n') + 1 : NULL) {
        double value[4];
        char day[4], month[4];
        int date, begun = sscanf(line, "%3s %d %3s%*[ ~]%lf %lf %lf %lf", day, &date, month, &value[0],
                                 &value[1], &value[2], &value[3]);
        sum += begun == 7 ? value[column] : 0.0;
    }
    return sum;
}

/* The light on the flat in the row of a date. */
static double flat_of(const char *text, const char *date)
{
    const char *row = strstr(text, date);
    double sun, flat;
    ck_assert_ptr_nonnull(row);
    ck_assert_int_eq(sscanf(row + strlen(date), "%*[ ~]%lf %lf", &sun, &flat), 2);
    return flat;
}

/* A trip under record.csv; times are local, in a zone. */
static void write_trip(const char *zone, double lat_deg, double lon_deg, const char *from, const char *to,
                       const char *more)
{
    char trip[1024];
    snprintf(
        trip, sizeof trip,
        "{\"format\": \"stillwatt trip 1\", \"name\": \"t\", \"van\": \"" SW_SOURCE_DIR
        "/profiles/vans/weekend-van.json\", \"places\": {\"p\": {\"latitude\": %.2f, \"longitude\": %.2f, "
        "\"elevation\": \"10 m\", \"zone\": \"%s\"}}, \"legs\": [{\"stay\": \"p\", \"from\": \"%s\", \"to\": "
        "\"%s\"}], \"sky\": {\"kind\": \"hourly\", \"file\": \"record.csv\"%s}}",
        lat_deg, lon_deg, zone, from, to, more);
    program_write(folder, "trip.json", trip);
}

START_TEST(every_demo_is_shown_within_80_columns)
{
    for (const char *const *trip = program_demos; *trip != NULL; trip++) {
        char command[512];
        snprintf(command, sizeof command, "stillwatt sky " DEMO "%s.json", *trip);
        program_run run = expect(0, command);
        ck_assert_msg(workshop_widest(run.out) <= 80, "%s: a line of %zu columns:\n%s", *trip,
                      workshop_widest(run.out), run.out);
        ck_assert_msg(sum_of(run.out, 1) > 5.0, "%s shows hardly any light:\n%s", *trip, run.out);
        program_forget(&run);
    }
}
END_TEST

/* The sun of a cloudless clear day shines from when its beam passes 120 W/m2 [wmo-8], soon after sunrise;
   under an overcast sky it never does. */
START_TEST(hours_of_sun_are_those_of_the_beam)
{
    program_run run = expect(0, "stillwatt sky " DEMO "canyon-week-told.json");
    const char *clear = strstr(run.out, "Sun 8 Nov"), *overcast = strstr(run.out, "Thu 12 Nov");
    ck_assert_double_eq_tol(strtod(clear + strlen("Sun 8 Nov"), NULL), 10.2 - 1.5,
                            0.5); // a day of 10.2 h at 38 N
    ck_assert_double_eq(strtod(overcast + strlen("Thu 12 Nov"), NULL), 0.0);
    program_forget(&run);
}
END_TEST

/* The light on the flat is that of the file: its rows of the trip's whole days, summed here. */
START_TEST(the_light_of_a_record_is_shown_as_it_is)
{
    program_write(folder, "van.json",
                  "{\"format\": \"stillwatt van 1\", \"name\": \"v\", \"battery\": {\"chemistry\": "
                  "\"lifepo4\", \"capacity\": "
                  "\"100 Ah\"}, \"arrays\": {\"roof\": {\"rating\": \"100 W\"}}, \"controller\": {\"limit\": "
                  "\"30 A\"}, "
                  "\"loads\": {}}");
    program_write(
        folder, "trip.json",
        "{\"format\": \"stillwatt trip 1\", \"name\": \"<t>\", \"van\": \"van.json\", \"places\": {\"p\": "
        "{\"latitude\": 38.35, \"longitude\": -109.75, \"elevation\": \"1750 m\", \"zone\": "
        "\"America/Denver\"}}, \"legs\": [{\"stay\": \"p\", \"from\": \"2026-11-07 00:00\", \"to\": "
        "\"2026-11-14 00:00\"}], \"sky\": {\"kind\": \"hourly\", \"file\": \"" SW_SOURCE_DIR
        "/weather/invented-rim-week.csv\"}}");
    char *text = program_read(SW_SOURCE_DIR, "weather/invented-rim-week.csv");
    double want = 0.0;
    for (const char *line = text; line != NULL;
         line = strchr(line, '\n') != NULL ? strchr(line, '\n') + 1 : NULL) {
        int day, hour;
        double ghi;
        if (sscanf(line, "2026-11-%dT%d:00-07:00,%lf", &day, &hour, &ghi) == 3 && day >= 7 && day <= 13)
            want += ghi / 1000.0;
    }
    program_run run = expect(0, "stillwatt sky trip.json --chart sky.svg");
    ck_assert_double_gt(want, 15.0);
    ck_assert_double_eq_tol(sum_of(run.out, 1), want, 7 * 0.005 + 1e-9); // seven rounded days
    char *chart = program_read(folder, "sky.svg");
    ck_assert_ptr_nonnull(strstr(chart, "<title>&lt;t&gt;</title>"));
    ck_assert_ptr_null(strstr(chart, "<t>"));
    ck_assert_ptr_nonnull(strstr(chart, "</svg>\n"));
    free(chart);
    free(text);
    program_forget(&run);
}
END_TEST

/* Rows of any length keep their energy, also those that five minutes do not divide: three days of half sines,
   summed here. */
START_TEST(rows_of_any_length_keep_their_energy)
{
    static char csv[1 << 17];
    static const int minutes[] = {5, 6, 10, 12, 15, 20, 30, 60};
    for (size_t i = 0; i < sizeof minutes / sizeof minutes[0]; i++) {
        double want = 0.0;
        strcpy(csv, "# place: Made\n# latitude: 38.35\n# longitude: -109.75\nend,ghi [W/m2],air [C]\n");
        size_t length = strlen(csv);
        for (int m = minutes[i]; m <= 3 * 1440; m += minutes[i]) {
            double hour = fmod((m - 0.5 * minutes[i]) / 60.0, 24.0);
            double ghi = round(fmax(0.0, 700.0 * sin((hour - 6.5) / 12.0 * 3.14159265)));
            length +=
                (size_t)snprintf(csv + length, sizeof csv - length, "2026-06-%02dT%02d:%02d-07:00,%.0f,20\n",
                                 10 + m / 1440, m % 1440 / 60, m % 60, ghi);
            want += ghi * minutes[i] / 60.0 / 1000.0;
        }
        program_write(folder, "record.csv", csv);
        write_trip("America/Phoenix", 38.35, -109.75, "2026-06-10 00:00", "2026-06-13 00:00", "");
        program_run run = expect(0, "stillwatt sky trip.json");
        ck_assert_msg(fabs(sum_of(run.out, 1) - want) <= 3 * 0.005 + 1e-9,
                      "rows of %d min: %.3f kWh/m2, not %.3f\n%s", minutes[i], sum_of(run.out, 1), want,
                      run.out);
        program_forget(&run);
    }
}
END_TEST

/* Two Novembers in one record, of 100 and of 300 W/m2 at noon; the trip is of another year. */
START_TEST(a_year_of_a_record_stands_for_the_dates_of_the_trip)
{
    char csv[8192] = "# place: Two years\n# latitude: 38.35\n# longitude: -109.75\nend,ghi [W/m2],air [C]\n";
    for (int year = 2010; year <= 2011; year++)
        for (int hour = 0; hour < 72; hour++)
            snprintf(csv + strlen(csv), sizeof csv - strlen(csv), "%d-11-%02dT%02d:00-07:00,%d,5\n", year,
                     6 + hour / 24, hour % 24, hour % 24 == 12 ? (year == 2010 ? 100 : 300) : 0);
    program_write(folder, "record.csv", csv);
    static const struct {
        const char *sky;
        double flat;
        const char *says;
    } cases[] = {
        {"", 0.3, "those of 2011 stand for them"},
        {", \"year\": 2010", 0.1, "in 2010"},
        {", \"year\": 2011", 0.3, "in 2011"},
        {", \"year\": 2012", 0.0, "does not cover the trip in 2012"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        write_trip("America/Denver", 38.35, -109.75, "2026-11-07 00:00", "2026-11-08 00:00", cases[i].sky);
        program_run run = expect(cases[i].flat > 0.0 ? 0 : 3, "stillwatt sky trip.json");
        ck_assert_double_eq_tol(sum_of(run.out, 1), cases[i].flat, 1e-9);
        ck_assert_msg(strstr(run.out, cases[i].says) != NULL || strstr(run.err, cases[i].says) != NULL,
                      "%s%s", run.out, run.err);
        program_forget(&run);
    }
}
END_TEST

// ---- records that are not whole, or do not give all three lights ----

/* Five days from 5 November on at -7; `light` is what stands behind the time, with %d for the global light.
   In the hours from `gap` to `gap_end`, counted from the first, nothing stands. */
static void write_record(const char *columns, const char *light, int gap, int gap_end)
{
    char csv[16384];
    snprintf(csv, sizeof csv, "# place: Made up\n# latitude: 38.35\n# longitude: -109.75\nend,%s,air [C]\n",
             columns);
    for (int hour = 0; hour < 120; hour++) {
        int noon = abs(hour % 24 - 12);
        snprintf(csv + strlen(csv), sizeof csv - strlen(csv), "2026-11-%02dT%02d:00-07:00,", 5 + hour / 24,
                 hour % 24);
        int empty = hour >= gap && hour < gap_end;
        snprintf(csv + strlen(csv), sizeof csv - strlen(csv), "%d%s,%s\n",
                 noon < 5 && !empty ? 500 - 90 * noon : 0, noon < 5 ? light : ",0", empty ? "" : "5");
    }
    program_write(folder, "record.csv", csv);
}

/* The trip is from 09:20 to 11:40 on 7 November: hours 58 to 60 of the record hold it, and 57 says from where
   the air comes. A gap of five hours that reaches one of them is refused, one that ends before or begins
   after is not. */
START_TEST(a_gap_at_either_end_of_a_trip_is_refused)
{
    static const struct {
        int gap, gap_end, status;
    } cases[] = {{52, 57, 0}, {53, 58, 3}, {58, 63, 3}, {60, 65, 3}, {61, 66, 0}};
    write_trip("America/Denver", 38.35, -109.75, "2026-11-07 09:20", "2026-11-07 11:40", "");
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        write_record("ghi [W/m2],dhi [W/m2]", ",80", cases[i].gap, cases[i].gap_end);
        program_run run = program_do(folder, "stillwatt rehearse trip.json --step 10");
        ck_assert_msg(run.exit_status == cases[i].status, "gap %d to %d: %d\n%s%s", cases[i].gap,
                      cases[i].gap_end, run.exit_status, run.out, run.err);
        program_forget(&run);
    }
}
END_TEST

/* Which of the three lights a record gives decides how it is shared: a beam without sky light counts, and
   where it is 0 the sun does not shine. */
START_TEST(a_beam_without_sky_light_counts)
{
    write_trip("America/Denver", 38.35, -109.75, "2026-11-06 00:00", "2026-11-08 00:00", "");
    static const struct {
        const char *columns, *light;
        double least_h, most_h;
    } cases[] = {
        {"ghi [W/m2],dni [W/m2]", ",0", 0.0, 0.0},
        {"ghi [W/m2],dni [W/m2]", ",600", 14.0, 20.0},
        {"ghi [W/m2],dhi [W/m2]", ",30", 14.0, 20.0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        write_record(cases[i].columns, cases[i].light, 0, 0);
        program_run run = program_do(folder, "stillwatt sky trip.json");
        ck_assert_msg(run.exit_status == 0 && sum_of(run.out, 0) >= cases[i].least_h &&
                          sum_of(run.out, 0) <= cases[i].most_h,
                      "%s%s: %.1f h\n%s", cases[i].columns, cases[i].light, sum_of(run.out, 0), run.err);
        program_forget(&run);
    }
}
END_TEST

/* New Year in New Zealand is still the old year in Greenwich. */
START_TEST(the_year_of_a_record_is_that_of_its_clock)
{
    char csv[8192] = "# place: South\n# latitude: -37\n# longitude: 174.8\nend,ghi [W/m2],air [C]\n";
    for (int hour = 1; hour < 60; hour++)
        snprintf(csv + strlen(csv), sizeof csv - strlen(csv), "2012-01-%02dT%02d:00+13:00,%d,15\n",
                 1 + hour / 24, hour % 24, hour % 24 == 13 ? 700 : 0);
    program_write(folder, "record.csv", csv);
    write_trip("Pacific/Auckland", -37.0, 174.8, "2026-01-01 06:00", "2026-01-02 06:00", ", \"year\": 2012");
    program_run run = expect(0, "stillwatt sky trip.json");
    ck_assert_double_eq_tol(sum_of(run.out, 1), 0.7, 1e-9);
    program_forget(&run);
    write_trip("Pacific/Auckland", -37.0, 174.8, "2026-01-01 06:00", "2026-01-02 06:00", "");
    run = expect(0, "stillwatt sky trip.json");
    ck_assert_ptr_nonnull(strstr(run.err, "those of 2012 stand for them"));
    program_forget(&run);
}
END_TEST

/* Drawn skies: another draw is another sky, the same draw the same whatever day the trip begins, and no day
   is brighter than a cloudless one by more than a twentieth. */
START_TEST(drawn_days_are_their_own_and_never_brighter_than_a_cloudless_sky)
{
    for (int draw = 1; draw <= 12; draw++) {
        for (int late = 0; late < 2; late++) {
            char trip[1024];
            snprintf(trip, sizeof trip,
                     "{\"format\": \"stillwatt trip 1\", \"name\": \"t\", \"van\": \"" SW_SOURCE_DIR
                     "/profiles/vans/weekend-van.json\", \"places\": {\"p\": {\"station\": \"Moab UT\"}}, "
                     "\"legs\": "
                     "[{\"stay\": \"p\", \"from\": \"2026-11-%02d 00:00\", \"to\": \"2026-11-16 00:00\"}], "
                     "\"sky\": {\"kind\": "
                     "\"chance\", \"draw\": %d}}",
                     late ? 9 : 7, draw);
            program_write(folder, late ? "late.json" : "early.json", trip);
        }
        program_write(
            folder, "clear.json",
            "{\"format\": \"stillwatt trip 1\", \"name\": \"t\", \"van\": \"" SW_SOURCE_DIR
            "/profiles/vans/weekend-van.json\", \"places\": {\"p\": {\"station\": \"Moab UT\"}}, \"legs\": "
            "[{\"stay\": \"p\", \"from\": \"2026-11-07 00:00\", \"to\": \"2026-11-16 00:00\"}], \"sky\": "
            "{\"kind\": "
            "\"told\", \"otherwise\": \"clear\"}}");
        program_run run = expect(0, "stillwatt sky early.json"), late = expect(0, "stillwatt sky late.json");
        program_run clear = expect(0, "stillwatt sky clear.json");
        for (int day = 7; day < 16; day++) {
            char date[16];
            snprintf(date, sizeof date, " %d Nov", day);
            double drawn = flat_of(run.out, date);
            ck_assert_double_le(drawn, 1.05 * flat_of(clear.out, date) + 0.011); // both rounded
            if (day >= 9)
                ck_assert_double_eq(flat_of(late.out, date), drawn);
        }
        program_forget(&run);
        program_forget(&late);
        program_forget(&clear);
    }
}
END_TEST

START_TEST(a_weather_file_is_converted_and_reads_the_same)
{
    program_run run =
        expect(0, "stillwatt sky convert '" SW_SOURCE_DIR "/weather/invented-rim-week.csv' a.csv");
    program_forget(&run);
    run = expect(0, "stillwatt sky convert a.csv b.csv");
    program_forget(&run);
    char *a = program_read(folder, "a.csv"), *b = program_read(folder, "b.csv");
    ck_assert_ptr_nonnull(strstr(a, "2026-11-07T00:00-07:00,0,"));
    ck_assert_str_eq(a, b);
    free(a);
    free(b);
}
END_TEST

START_TEST(what_cannot_be_is_refused)
{
    static const struct {
        int status;
        const char *command, *says;
    } cases[] = {
        {2, "stillwatt sky", "use: stillwatt sky TRIP"},
        {2, "stillwatt sky a b", "use: stillwatt sky TRIP"},
        {2, "stillwatt sky convert a", "use: stillwatt sky convert FILE OUT.csv"},
        {4, "stillwatt sky convert nowhere.epw out.csv", "nowhere.epw could not be read"},
        {3, "stillwatt sky convert odd.csv out.csv", "this is no weather file of a format that is read"},
        {2, "stillwatt sky convert odd.csv out.csv --chart c.svg", "`sky convert` has no option --chart"},
        {2, "stillwatt sky a --service forecast", "`sky` has no option --service"},
        {2, "stillwatt sky fetch " DEMO "canyon-week.json --patience soon", "--patience is 1 to 60000 ms"},
        {4, "stillwatt sky nowhere.json", "nowhere.json"},
        {4, "stillwatt sky " DEMO "canyon-week.json --chart no/where.svg", "no/where.svg"},
    };
    program_write(folder, "odd.csv", "hello\n");
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        program_run run = expect(cases[i].status, cases[i].command);
        ck_assert_msg(strstr(run.err, cases[i].says) != NULL, "`%s` says: %s", cases[i].command, run.err);
        program_forget(&run);
    }
    ck_assert_ptr_null(program_read(folder, "out.csv"));
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        every_demo_is_shown_within_80_columns,
        hours_of_sun_are_those_of_the_beam,
        the_light_of_a_record_is_shown_as_it_is,
        rows_of_any_length_keep_their_energy,
        a_year_of_a_record_stands_for_the_dates_of_the_trip,
        a_gap_at_either_end_of_a_trip_is_refused,
        a_beam_without_sky_light_counts,
        the_year_of_a_record_is_that_of_its_clock,
        drawn_days_are_their_own_and_never_brighter_than_a_cloudless_sky,
        a_weather_file_is_converted_and_reads_the_same,
        what_cannot_be_is_refused,
        NULL,
    };
    return sw_suite_with("sky_verb", tests, 60, set_up, tear_down);
}
