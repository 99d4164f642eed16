// The tide chart: its water is the charge of the ledger, its marks are those of the trip, it is XML, and it
// stays small.
#include "stillwatt/report.h"
#include "support/checks.h"
#include "support/small_plan.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Released by the caller. */
static void draw(const rehearsed *x, char **out)
{
    ck_assert_int_eq(sw_report_tide(x->r, out), SW_OK);
}

static int count_of(const char *text, const char *word)
{
    int count = 0;
    for (const char *at = text; (at = strstr(at, word)) != NULL; at += strlen(word))
        count++;
    return count;
}

/* Another reader of XML, where it is installed. */
static void is_xml(const char *text)
{
    char name[] = "/tmp/stillwatt-tide-XXXXXX", command[100];
    int descriptor = mkstemp(name);
    FILE *file = descriptor >= 0 ? fdopen(descriptor, "w") : NULL;
    ck_assert_ptr_nonnull(file);
    fputs(text, file);
    fclose(file);
    if (system("command -v xmllint >/dev/null") != 0) {
        printf("skipped: charts as XML (no xmllint)\n");
    } else {
        snprintf(command, sizeof command, "xmllint --noout %s", name);
        ck_assert_int_eq(system(command), 0);
    }
    remove(name);
}

/* The height of a scale's text, which stands 4 under its line. */
static double scale_y(const char *text, const char *says)
{
    char content[40];
    double x, y;
    for (const char *at = text; (at = strstr(at, "<text class=\"scale\"")) != NULL; at++)
        if (sscanf(at, "<text class=\"scale\" x=\"%lf\" y=\"%lf\">%39[^<]", &x, &y, content) == 3 &&
            strcmp(content, says) == 0)
            return y - 4.0;
    ck_abort_msg("no scale says %s", says);
}

// ---- the water ----

START_TEST(the_water_is_the_charge_of_the_ledger)
{
    rehearsed x = rehearse_texts(small_van, small_trip, 300);
    char *text = NULL, *end;
    draw(&x, &text);
    double top = scale_y(text, "100 %"), bottom = scale_y(text, "0 %"), was_x = 0.0;
    const char *at = strstr(text, "<path class=\"edge\" d=\"M");
    ck_assert_ptr_nonnull(at);
    at += strlen("<path class=\"edge\" d=\"");
    for (int h = -1; h < x.r->hours; h++) {
        double charge = h < 0 ? 100.0 * x.r->variant.start_soc : x.r->hour[h].value[SW_LEDGER_CHARGE];
        ck_assert_int_eq(*at, h < 0 ? 'M' : 'L');
        double here_x = strtod(at + 1, &end), y = strtod(end, &end);
        at = end;
        ck_assert_double_eq_tol(y, bottom + charge / 100.0 * (top - bottom), 0.051);
        ck_assert_double_gt(here_x, was_x);
        was_x = here_x;
    }
    ck_assert_int_eq(*at, '"'); // and no point more
    ck_assert_double_eq_tol(was_x, 944.0, 0.051);
    is_xml(text);
    free(text);
    forget_rehearsed(&x);
}
END_TEST

START_TEST(marks_are_those_of_the_trip)
{
    // Two nights with a drive, a hookup, an hour of the engine, and a reserve line that is passed.
    char *trip = text_with(small_trip, "\"to\": \"2026-11-08 10:00\"",
                           "\"to\": \"2026-11-08 10:00\", \"engine_hours\": \"17:00-18:00\"");
    char *low =
        text_with(trip, "\"habits\"", "\"start_charge\": \"60 %\", \"reserve\": \"72 %\", \"habits\"");
    char *van =
        text_with(small_van, "\"payload\": \"620 kg\"", "\"payload\": \"620 kg\", \"idle_fuel\": \"1 L\"");
    rehearsed x = rehearse_texts(van, low, 300);
    char *text = NULL;
    draw(&x, &text);
    ck_assert_int_eq(count_of(text, "class=\"drive\""), 1);
    ck_assert_int_eq(count_of(text, "class=\"hookup\""), 1);
    ck_assert_int_eq(count_of(text, "class=\"other\""),
                     2 + 2); // two evenings; the key of the bars, and the bars
    ck_assert_int_eq(count_of(text, "class=\"night\""), 2);
    int under = 0, was = 0;
    for (int h = 0; h < x.r->hours; h++) {
        int is = x.r->hour[h].value[SW_LEDGER_UNDER] > 0.0;
        under += is && !was;
        was = is;
    }
    ck_assert_int_gt(under, 0);
    ck_assert_int_eq(count_of(text, "class=\"under\""), under);
    static const char *const words[] = {">hookup</text>",    ">mesa</text>",
                                        ">Sat 7 Nov</text>", ">reserve line 72 %</text>",
                                        ">lowest: ",         NULL};
    for (int i = 0; words[i] != NULL; i++)
        ck_assert_msg(strstr(text, words[i]) != NULL, "%s", words[i]);
    free(text);
    forget_rehearsed(&x);
    free(van);
    free(low);
    free(trip);
}
END_TEST

// ---- names, lengths ----

START_TEST(names_come_out_as_text)
{
    char *trip = text_with(small_trip, "\"Two nights\"", "\"<script>alert(1)</script> & \\\"x\\\"\"");
    char *named = text_with(trip, "\"mesa\": {", "\"a<b\": {");
    char *there = text_with(named, "[\"town\", \"mesa\"]", "[\"town\", \"a<b\"]");
    char *all = text_with(there, "{\"stay\": \"mesa\"", "{\"stay\": \"a<b\"");
    rehearsed x = rehearse_texts(small_van, all, 1800);
    char *text = NULL;
    draw(&x, &text);
    ck_assert_ptr_null(strstr(text, "<script"));
    ck_assert_ptr_nonnull(strstr(text, "&lt;script&gt;alert(1)&lt;/script&gt; &amp; &quot;x&quot;"));
    ck_assert_ptr_nonnull(strstr(text, ">a&lt;b</text>"));
    is_xml(text);
    free(text);
    forget_rehearsed(&x);
    free(all);
    free(there);
    free(named);
    free(trip);
}
END_TEST

/* A name that is longer than the picture is wide is cut; a scale of 1.5 W, for a lamp of 1.2 W, is told as
   such; and so is a reserve line of 12.5 %. */
START_TEST(nothing_is_cut_off_or_rounded_away)
{
    static const char van[] =
        "{\"format\": \"stillwatt van 1\", \"name\": \"lamp\", \"battery\": {\"chemistry\": \"lifepo4\", "
        "\"capacity\": \"100 Ah\", \"unit_voltage\": \"12 V\"}, \"loads\": {\"lamp\": {\"kind\": \"steady\", "
        "\"bus\": "
        "\"dc\", \"power\": \"1.2 W\"}}}";
    char name[400] = "", trip[1000];
    for (int i = 0; i < 30; i++)
        strcat(name, "up hill and ");
    snprintf(
        trip, sizeof trip,
        "{\"format\": \"stillwatt trip 1\", \"name\": \"%s\", \"van\": \"van.json\", \"reserve\": \"12.5 "
        "%%\", "
        "\"places\": {\"mesa\": {\"latitude\": 38.5, \"longitude\": -109.6, \"elevation\": \"1500 m\", "
        "\"zone\": \"America/Denver\"}}, \"legs\": [{\"stay\": \"mesa\", \"from\": \"2026-11-06 12:00\", "
        "\"to\": \"2026-11-08 10:00\"}]}",
        name);
    rehearsed x = rehearse_texts(van, trip, 300);
    char *svg = NULL;
    draw(&x, &svg);
    ck_assert_ptr_nonnull(strstr(svg, ">up hill and up hill and"));
    ck_assert_ptr_nonnull(strstr(svg, "...</text>"));
    ck_assert_ptr_nonnull(strstr(svg, ">1.5 W<"));
    ck_assert_ptr_nonnull(strstr(svg, ">reserve line 12.5 %<"));
    is_xml(svg);
    free(svg);
    forget_rehearsed(&x);
}
END_TEST

/* One hour, a day, two weeks, two months. */
START_TEST(short_and_long_trips_have_a_chart)
{
    static const struct {
        const char *to;
        size_t most;
    } trips[] = {{"2026-11-06 16:00", 20000},
                 {"2026-11-07 15:00", 30000},
                 {"2026-11-20 12:00", 150000},
                 {"2027-01-05 12:00", 150000}};
    for (int i = 0; i < 4; i++) {
        char *trip = text_with(small_trip, "2026-11-08 10:00", trips[i].to);
        rehearsed x = rehearse_texts(small_van, trip, 300);
        char *text = NULL;
        draw(&x, &text);
        ck_assert_uint_lt(strlen(text), trips[i].most);
        ck_assert_ptr_null(strstr(text, "nan"));
        ck_assert_ptr_null(strstr(text, "inf"));
        is_xml(text);
        free(text);
        forget_rehearsed(&x);
        free(trip);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        the_water_is_the_charge_of_the_ledger, marks_are_those_of_the_trip,       names_come_out_as_text,
        nothing_is_cut_off_or_rounded_away,    short_and_long_trips_have_a_chart, NULL};
    return sw_suite_of("tide", tests, 120);
}
