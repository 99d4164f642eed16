// Hills and trees around a parked van: the skyline and the shade by themselves, and what they do to panels.
#include "stillwatt/course.h"
#include "stillwatt/reader.h"
#include "support/checks.h"
#include "support/memory_loader.h"
#include "support/program.h"
#include "support/small_plan.h"
#include "trip/schedule.h"
#include "trip/surroundings.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define RAD (3.14159265358979323846 / 180.0)

static sw_skyline_point ring(double toward_deg, double height_deg)
{
    return (sw_skyline_point){toward_deg, height_deg};
}

// ---- skyline ----

START_TEST(the_skyline_runs_straight_between_its_points_and_round_the_north)
{
    sw_skyline_point point[] = {ring(20, 10), ring(100, 30), ring(340, 6)};
    sw_place place = {.skyline_points = 3, .skyline = point};
    static const double cases[][2] = {{20, 10}, {60, 20}, {100, 30}, {220, 18},
                                      {340, 6}, {0, 8},   {350, 7},  {10, 9}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        ck_assert_double_eq_tol(sw_skyline_height_deg(&place, cases[i][0]), cases[i][1], 1e-12);
    sw_place one = {.skyline_points = 1, .skyline = point}; // all round
    ck_assert_double_eq_tol(sw_skyline_height_deg(&one, 200), 10.0, 1e-12);
    sw_place level = {.skyline_points = 0};
    ck_assert_double_eq(sw_skyline_height_deg(&level, 77), 0.0);
}
END_TEST

/* A flat panel under hills that are equally high all round sees cos^2 of their height; 20 deg take 11.7 %
   (own derivation). */
START_TEST(a_flat_panel_within_a_ring_of_hills_sees_the_square_of_their_cosine)
{
    sw_plane flat;
    sw_plane_prepare(&(sw_tilt){0.0, 0.0}, &flat);
    for (int height = 0; height <= 80; height += 20) {
        sw_skyline_point point = ring(0, height);
        sw_place place = {.skyline_points = 1, .skyline = &point};
        ck_assert_double_eq_tol(sw_skyline_sky_open(&place, &flat), pow(cos(height * RAD), 2), 1e-12);
    }
}
END_TEST

/* The sky as half a million points, each counted if it is over the hills and in front of the panel. */
static double open_by_points(const sw_place *place, double tilt_deg, double azimuth_deg)
{
    double open = 0.0, whole = 0.0;
    double up = cos(tilt_deg * RAD), east = sin(tilt_deg * RAD) * sin(azimuth_deg * RAD),
           north = sin(tilt_deg * RAD) * cos(azimuth_deg * RAD);
    for (double height = 0.05; height < 90.0; height += 0.1)
        for (double toward = 0.25; toward < 360.0; toward += 0.5) {
            double level = cos(height * RAD);
            double facing =
                up * sin(height * RAD) + level * (east * sin(toward * RAD) + north * cos(toward * RAD));
            double light = fmax(0.0, facing) * level;
            whole += light;
            open += height > sw_skyline_height_deg(place, toward) ? light : 0.0;
        }
    return open / whole;
}

START_TEST(a_tilted_panel_sees_what_the_points_of_the_sky_say)
{
    sw_skyline_point point[] = {ring(0, 5), ring(80, 35), ring(120, 12), ring(200, 3), ring(290, 25)};
    sw_place place = {.skyline_points = 5, .skyline = point};
    static const double cases[][2] = {{0, 0}, {15, 90}, {30, 180}, {60, 80}, {90, 80}, {90, 180}, {45, 300}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        sw_plane plane;
        sw_plane_prepare(&(sw_tilt){cases[i][0], cases[i][1]}, &plane);
        double open = sw_skyline_sky_open(&place, &plane),
               want = open_by_points(&place, cases[i][0], cases[i][1]);
        ck_assert_msg(fabs(open - want) < 0.003, "tilt %g facing %g: %.4f, by points %.4f", cases[i][0],
                      cases[i][1], open, want);
    }
}
END_TEST

// ---- shade ----

START_TEST(a_minute_is_within_windows_also_past_midnight)
{
    sw_windows windows = {2, {8 * 60, 22 * 60}, {9 * 60, 26 * 60}};
    static const struct {
        int minute, within;
    } cases[] = {{479, 0},  {480, 1},  {539, 1}, {540, 0}, {1319, 0},
                 {1320, 1}, {1439, 1}, {0, 1},   {119, 1}, {120, 0}};
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++)
        ck_assert_msg(sw_windows_hold(&windows, cases[i].minute) == cases[i].within, "minute %d",
                      cases[i].minute);
    ck_assert_int_eq(sw_windows_hold(NULL, 700), 1);
}
END_TEST

START_TEST(of_several_shades_the_most_counts_and_a_string_loses_as_one)
{
    sw_windows morning = {1, {6 * 60}, {10 * 60}}, late = {1, {9 * 60}, {12 * 60}};
    sw_shade shade[] = {{&morning, 0.5, 0.4}, {&late, 0.3, 0.6}};
    sw_leg leg = {.shades = 2, .shade = shade};
    sw_shade at[] = {sw_shade_at(&leg, 8 * 60), sw_shade_at(&leg, 9 * 60 + 30), sw_shade_at(&leg, 11 * 60),
                     sw_shade_at(&leg, 13 * 60)};
    static const double want[][2] = {{0.5, 0.4}, {0.5, 0.6}, {0.3, 0.6}, {0.0, 0.0}};
    for (int i = 0; i < 4; i++)
        ck_assert(at[i].beam == want[i][0] && at[i].sky == want[i][1]);
    ck_assert_double_eq_tol(sw_shade_beam_open(0.2, 1), 0.8, 1e-15);
    ck_assert_double_eq_tol(sw_shade_beam_open(0.2, 3), 0.4, 1e-15);
    ck_assert_double_eq(sw_shade_beam_open(0.5, 3), 0.0);
}
END_TEST

// ---- on panels ----

#define STAY "\"heading\": \"0 deg\""
#define ROOF "\"roof\": {\"rating\": \"200 W\", \"panels\": 2}"
#define ZONE "\"zone\": \"America/Denver\""

typedef struct two_days {
    sw_plan *plan;
    sw_course *course;
} two_days;

/* The course of the small trip's two days on the mesa, with more in the array, the place and the stay. */
static two_days days_with(const char *array, const char *place, const char *stay)
{
    char stay_text[400], place_text[400];
    snprintf(stay_text, sizeof stay_text, "{\"stay\": \"mesa\", %s, \"to\": \"2026-11-08 10:00\"}", stay);
    snprintf(place_text, sizeof place_text, ZONE "%s", place);
    char *van = text_with(small_van, ROOF, array);
    char *with_place = text_with(small_trip, ZONE, place_text);
    char *trip = text_with(with_place, "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"}", stay_text);
    two_days out = {plan_of_trip(van, trip), NULL};
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_status status = sw_course_make(out.plan, &loader, 300, messages, &out.course);
    print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    free(van);
    free(with_place);
    free(trip);
    return out;
}

static void forget_days(two_days *days)
{
    sw_course_free(days->course);
    sw_plan_free(days->plan);
}

/* Yield of the first array over the local clock of 7 November, [from, to) in hours. */
static double yield_between(const two_days *days, double from_h, double to_h)
{
    const sw_course *course = days->course;
    const sw_forcing *f = &course->forcing[0];
    double sum = 0.0;
    for (int32_t step = 0; step < f->steps; step++) {
        int64_t local_s = sw_itinerary_local_s(course->itinerary, f->start_s + (int64_t)step * 300 + 150);
        double hour = (double)(local_s - (int64_t)20764 * 86400) / 3600.0; // 2026-11-07
        sum += hour >= from_h && hour < to_h ? f->yield[0][step] / 12.0 : 0.0;
    }
    return sum;
}

START_TEST(the_beam_is_gone_while_the_sun_is_behind_the_skyline)
{
    two_days open = days_with(ROOF, "", STAY);
    two_days hills =
        days_with(ROOF, ", \"skyline\": [{\"toward\": \"0 deg\", \"height\": \"15 deg\"}]", STAY);
    const sw_forcing *a = &open.course->forcing[0], *b = &hills.course->forcing[0];
    int behind = 0, over = 0;
    for (int32_t step = 0; step < a->steps; step++) {
        sw_sun sun;
        int64_t at_s = a->start_s + (int64_t)step * 300 + 150;
        int on_the_mesa = at_s > open.course->itinerary->span[2].start_s;
        ck_assert_int_eq(sw_sun_at(at_s, 38.5, -109.6, &sun), SW_OK);
        double height = 90.0 - sun.apparent_zenith_deg;
        if (!on_the_mesa || height < 5.0 || fabs(height - 15.0) < 0.2)
            continue;
        double kept = b->yield[0][step] / a->yield[0][step];
        int is_over = height > 15.0;
        over += is_over;
        behind += !is_over;
        // Over the hills a flat panel loses what they take of the sky; behind them it keeps some of the sky.
        sw_expect(is_over ? kept > 0.96 && kept < 1.0 : kept > 0.05 && kept < 0.92, "height %.1f: %.3f kept",
                  height, kept);
    }
    ck_assert_int_gt(over, 50);
    ck_assert_int_gt(behind, 20);
    forget_days(&open);
    forget_days(&hills);
}
END_TEST

START_TEST(trees_take_their_share_at_their_hours_and_from_strings_more)
{
    two_days open = days_with(ROOF, "", STAY);
    const char *trees =
        STAY ", \"shade\": [{\"hours\": \"06:00-11:00\", \"beam\": \"40 %\", \"sky\": \"0 %\"}]";
    two_days single = days_with(ROOF, "", trees);
    two_days string = days_with("\"roof\": {\"rating\": \"200 W\", \"panels\": 2, \"series\": 2}", "", trees);
    double morning = yield_between(&single, 6, 11) / yield_between(&open, 6, 11),
           in_string = yield_between(&string, 6, 11) / yield_between(&open, 6, 11);
    ck_assert_double_eq(yield_between(&single, 11, 24), yield_between(&open, 11, 24));
    ck_assert_msg(morning > 0.6 && morning < 0.85, "%.3f kept", morning); // all but 40 % of the beam
    ck_assert_msg(in_string > 0.2 && in_string < morning - 0.1, "%.3f kept in a string", in_string);
    // Twice the share, twice the loss: all but for the cell's better yield at low light.
    ck_assert_double_eq_tol((1.0 - in_string) / (1.0 - morning), 2.0, 0.1);
    forget_days(&open);
    forget_days(&single);
    forget_days(&string);
}
END_TEST

START_TEST(a_portable_set_works_at_its_hours_and_never_on_the_road)
{
    two_days fitted = days_with(ROOF, "", STAY);
    two_days portable =
        days_with("\"mat\": {\"rating\": \"200 W\", \"panels\": 2, \"hours\": \"09:00-15:00\"}", "", STAY);
    ck_assert_double_eq(yield_between(&portable, 9, 15), yield_between(&fitted, 9, 15));
    ck_assert_double_gt(yield_between(&fitted, 15, 24), 0.01);
    ck_assert_double_eq(yield_between(&portable, 15, 24), 0.0);
    ck_assert_double_eq(yield_between(&portable, 0, 9), 0.0);
    ck_assert_double_eq(yield_between(&portable, -24 + 13, -24 + 15), 0.0); // the drive of the day before
    ck_assert_double_gt(yield_between(&portable, -24 + 12, -24 + 13), 0.1);
    forget_days(&fitted);
    forget_days(&portable);
}
END_TEST

/* On the road a tilt kit lies flat, at camp it stands as one that is always up. */
START_TEST(a_tilt_kit_is_raised_at_camp_alone)
{
#define TILTED                                                                                               \
    "\"kit\": {\"rating\": \"200 W\", \"panels\": 2, \"tilt\": \"40 deg\", \"facing\": \"180 deg\", "        \
    "\"fixed_to\": \"compass\""
    two_days up = days_with(TILTED "}", "", STAY),
             kit = days_with(TILTED ", \"deployed\": \"raised\"}", "", STAY),
             flat = days_with(ROOF, "", STAY);
    ck_assert_double_eq(yield_between(&kit, 8, 16), yield_between(&up, 8, 16));
    ck_assert_double_gt(yield_between(&kit, 8, 16), 1.2 * yield_between(&flat, 8, 16));
    // The drive of the day before, 13:00 to 15:00.
    ck_assert_double_eq_tol(yield_between(&kit, -24 + 13, -24 + 15), yield_between(&flat, -24 + 13, -24 + 15),
                            1e-12);
    ck_assert_double_ne(yield_between(&up, -24 + 13, -24 + 15), yield_between(&flat, -24 + 13, -24 + 15));
    forget_days(&up);
    forget_days(&kit);
    forget_days(&flat);
}
END_TEST

/* Takes `, "key": [ ... ]` out of a text, with the comment between the comma at a line's end and the key. */
static void cut_list(char *text, const char *key)
{
    char *begin = strstr(text, key), *end = strchr(begin, ']') + 1;
    while (strncmp(begin, ",\n", 2) != 0)
        begin--;
    memmove(begin, end, strlen(end) + 1);
}

/* The demo holds in the open: what brings it under its reserve are the walls and the tree. */
START_TEST(the_demo_falls_under_its_reserve_by_hills_and_trees_alone)
{
    char *folder = program_folder(), *demo = program_read(SW_SOURCE_DIR, "profiles/trips/canyon-floor.json");
    char *open = text_with(demo, "\"../vans/", "\"" SW_SOURCE_DIR "/profiles/vans/");
    cut_list(open, "\"skyline\"");
    cut_list(open, "\"shade\"");
    program_write(folder, "open.json", open);
    program_run floor =
        program_expect(folder, 0, "stillwatt rehearse " SW_SOURCE_DIR "/profiles/trips/canyon-floor.json");
    program_run without = program_expect(folder, 0, "stillwatt rehearse open.json");
    ck_assert_int_eq(strncmp(floor.out, "UNDER", 5), 0);
    ck_assert_ptr_nonnull(strstr(floor.out, "hills and trees"));
    ck_assert_int_eq(strncmp(without.out, "HOLDS", 5), 0);
    ck_assert_ptr_null(strstr(without.out, "hills and trees"));
    program_forget(&floor);
    program_forget(&without);
    free(demo);
    free(open);
    program_remove(folder);
}
END_TEST

// ---- strings ----

/* 22.5 V at 25 C are 22.5 (1 + 0.0029 x 45) = 25.4 V at -20 C and 22.5 (1 - 0.0029 x 45) = 19.6 V with cells
   of 70 C; a bank that is half full rests at 13.2 V, and a tracker wants 5 V more to start. Working at 18 V
   they are 18 (1 - 0.0036 x 45) = 15.1 V, which fill a bank of 14.2 V; at 16.5 V they are 13.8 V. */
START_TEST(a_string_is_held_against_its_controller)
{
    static const struct {
        const char *array, *controller, *says;
    } cases[] = {
        {"\"open_circuit\": \"22.5 V\"", "\"input_limit\": \"26 V\"", NULL},
        {"\"open_circuit\": \"22.5 V\"", "\"input_limit\": \"25 V\"", "reach 25 V on a morning of -20 C"},
        {"\"series\": 2, \"open_circuit\": \"22.5 V\"", "\"input_limit\": \"50 V\"",
         "2 of these panels in series reach 51 V on a morning of -20 C, and the controller bears 50 V"},
        {"\"series\": 2, \"open_circuit\": \"22.5 V\"", "\"input_limit\": \"51 V\"", NULL},
        {"\"series\": 2, \"open_circuit\": \"22.5 V\"", "\"own_draw\": \"1 W\"", NULL},
        {"\"working_voltage\": \"18 V\", \"open_circuit\": \"22.5 V\"", "\"input_limit\": \"100 V\"", NULL},
        {"\"working_voltage\": \"16.5 V\"", "\"input_limit\": \"100 V\"",
         "1 of these panels in series give 13.8 V with cells of 70 C, but it takes 14.2 V to fill the "
         "battery"},
        {"\"series\": 2, \"working_voltage\": \"16.5 V\"", "\"input_limit\": \"100 V\"", NULL},
        {"\"working_voltage\": \"18 V\", \"open_circuit\": \"20.5 V\"", "\"input_limit\": \"100 V\"",
         "1 of these panels in series reach 17.8 V with cells of 70 C, but the controller starts at 18.2 V"},
        {"\"working_voltage\": \"18 V\", \"open_circuit\": \"20.5 V\"", "\"starts_over\": \"0.8 V\"", NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char array[300], controller[100], told[1000] = "";
        snprintf(array, sizeof array, "\"roof\": {\"rating\": \"200 W\", \"panels\": 2, %s}", cases[i].array);
        snprintf(controller, sizeof controller, "\"limit\": \"30 A\", %s", cases[i].controller);
        char *with_array = text_with(small_van, ROOF, array);
        char *van = text_with(with_array, "\"limit\": \"30 A\"", controller);
        memory_file file[] = {{"van.json", van}, {NULL, NULL}};
        memory_files files = {.file = file};
        sw_loader loader = memory_loader(&files);
        sw_messages *messages = sw_messages_create();
        sw_plan *plan = NULL;
        ck_assert_int_eq(sw_read_van(&loader, "van.json", messages, &plan), SW_OK);
        if (sw_messages_count(messages) > 0)
            sw_message_format(sw_messages_at(messages, 0), told, sizeof told);
        ck_assert_msg(cases[i].says == NULL ? told[0] == '\0' : strstr(told, cases[i].says) != NULL,
                      "case %zu: %s", i, told);
        sw_messages_free(messages);
        sw_plan_free(plan);
        free(van);
        free(with_array);
    }
}
END_TEST

/* What a course warns of first, if of anything. */
static void first_warning(const char *van, const char *trip, char told[400])
{
    sw_plan *plan = plan_of_trip(van, trip);
    memory_file file[] = {{NULL, NULL}};
    memory_files files = {.file = file};
    sw_loader loader = memory_loader(&files);
    sw_messages *messages = sw_messages_create();
    sw_course *course = NULL;
    ck_assert_int_eq(sw_course_make(plan, &loader, 300, messages, &course), SW_OK);
    told[0] = '\0';
    if (sw_messages_count(messages) > 0)
        snprintf(told, 400, "%s", sw_messages_at(messages, 0)->what);
    sw_course_free(course);
    sw_messages_free(messages);
    sw_plan_free(plan);
}

/* A tilted array hangs on the nose, or on the compass; a flat one on neither. */
START_TEST(where_panels_look_is_not_taken_for_granted)
{
    static const struct {
        const char *array, *heading, *says;
    } cases[] = {
        {"", "", ""},
        {", \"tilt\": \"40 deg\", \"facing\": \"90 deg\"", "", "nobody says where the nose points"},
        {", \"tilt\": \"40 deg\", \"facing\": \"90 deg\"", ", \"heading\": \"90 deg\"", ""},
        {", \"tilt\": \"40 deg\", \"facing\": \"180 deg\", \"fixed_to\": \"compass\"", "", ""},
        {", \"tilt\": \"40 deg\", \"facing\": \"20 deg\", \"fixed_to\": \"compass\"", "",
         "\"roof\" faces away from the noon sun of "},
        {", \"tilt\": \"10 deg\", \"facing\": \"20 deg\", \"fixed_to\": \"compass\"", "", ""},
    };
    for (size_t i = 0; i < sizeof cases / sizeof cases[0]; i++) {
        char array[200], stays[2][200], told[400];
        snprintf(array, sizeof array, "\"panels\": 2%s}", cases[i].array);
        snprintf(stays[0], sizeof stays[0], "{\"stay\": \"mesa\"%s,", cases[i].heading);
        snprintf(stays[1], sizeof stays[1], "{\"stay\": \"town\"%s,", cases[i].heading);
        char *van = text_with(small_van, "\"panels\": 2}", array);
        char *there = text_with(small_trip, "{\"stay\": \"mesa\",", stays[0]);
        char *trip = text_with(there, "{\"stay\": \"town\",", stays[1]);
        first_warning(van, trip, told);
        ck_assert_msg(cases[i].says[0] == '\0' ? told[0] == '\0' : strstr(told, cases[i].says) != NULL,
                      "case %zu: %s", i, told);
        free(trip);
        free(there);
        free(van);
    }
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {
        the_skyline_runs_straight_between_its_points_and_round_the_north,
        a_flat_panel_within_a_ring_of_hills_sees_the_square_of_their_cosine,
        a_tilted_panel_sees_what_the_points_of_the_sky_say,
        a_minute_is_within_windows_also_past_midnight,
        of_several_shades_the_most_counts_and_a_string_loses_as_one,
        the_beam_is_gone_while_the_sun_is_behind_the_skyline,
        trees_take_their_share_at_their_hours_and_from_strings_more,
        a_portable_set_works_at_its_hours_and_never_on_the_road,
        a_tilt_kit_is_raised_at_camp_alone,
        the_demo_falls_under_its_reserve_by_hills_and_trees_alone,
        a_string_is_held_against_its_controller,
        where_panels_look_is_not_taken_for_granted,
        NULL,
    };
    return sw_suite_of("surroundings", tests, 60);
}
