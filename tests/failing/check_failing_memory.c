// Every allocation of the library fails once: the first, the second and so on until a call asks for no more,
// alone and together with all that follow. Each time the call must say SW_NO_MEMORY, hand nothing out and
// leave nothing behind.
#include "failing/failing_memory.h"
#include "report/draft_files.h"
#include "stillwatt/document.h"
#include "stillwatt/reader.h"
#include "stillwatt/report.h"
#include "stillwatt/schema.h"
#include "stillwatt/series.h"
#include "stillwatt/zone.h"
#include "support/checks.h"
#include "support/invented_epw.h"
#include "support/program.h"
#include "support/small_plan.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { STEP_S = 3600 };

/// What is tried: a call that allocates, between two looks at what is alive. It releases what it got, and
/// asserts that a failed call handed nothing out.
typedef struct attempt {
    const char *name;
    sw_status (*call)(sw_messages *messages, const char *file);
    const char *file; ///< which file, where there are several
    sw_status good;   ///< status without a failure: of a wrong file not SW_OK
} attempt;

// ---- what the attempts work on ----

static char *folder;
static sw_loader loader;
static invented_text epw, epw_with_gaps, epw_cut;
static sw_text stations, zone, van_text, twice_text, broken_text;

static const char *path_to(const char *name)
{
    static char path[1024];
    snprintf(path, sizeof path, "%s%s%s", name[0] == '/' ? "" : folder, name[0] == '/' ? "" : "/", name);
    return path;
}

static void load(sw_resource kind, const char *name, sw_text *out)
{
    char reason[200] = "";
    sw_status status = loader.load(loader.context, kind, name, NULL, out, reason);
    ck_assert_msg(status == SW_OK, "%s: %s", name, reason);
}

static void load_text(const char *name, const char *text, sw_text *out)
{
    program_write(folder, name, text);
    load(SW_RESOURCE_FILE, path_to(name), out);
}

static void write_changed(const char *name, const char *text, const char *from, const char *to)
{
    char *changed = text_with(text, from, to);
    program_write(folder, name, changed);
    free(changed);
}

static invented_text year(invented_shape shape)
{
    return invented_year(&shape);
}

#define TOLD                                                                                                 \
    "{\"kind\": \"told\", \"otherwise\": \"few\", \"days\": {\"2026-11-07\": {\"morning\": \"broken\", "     \
    "\"afternoon\": \"overcast\", \"low\": \"-3 C\"}, \"2026-11-08\": \"scattered\"}}"

static void set_up(void)
{
    folder = program_folder();
    loader = sw_disk_loader(SW_SOURCE_DIR);
    program_write(folder, "van.json", small_van);
    program_write(folder, "part.json", small_part);
    program_write(folder, "average.json", small_trip);
    write_changed("told.json", small_trip, "{\"kind\": \"average\"}", TOLD);
    write_changed("hourly.json", small_trip, "{\"kind\": \"average\"}",
                  "{\"kind\": \"hourly\", \"file\": \"year.epw\"}");
    write_changed("wrong-van.json", small_van, "\"chemistry\"", "\"chemisty\"");
    write_changed("wrong-part.json", small_part, "\"battery\"", "\"batery\"");
    write_changed("wrong-trip.json", small_trip, "\"sky\"", "\"skye\"");
    write_changed("no-station.json", small_trip, "Grand Junction CO", "Grand Junctoin CO");
    write_changed("no-zone.json", small_trip, "America/Denver", "America/Dever");
    write_changed("no-weather.json", small_trip, "{\"kind\": \"average\"}",
                  "{\"kind\": \"hourly\", \"file\": \"nowhere.epw\"}");
    write_changed("far-away.json", small_trip, "-109.6", "-30.0");
    epw = invented_year(&invented_plain);
    program_write(folder, "year.epw", epw.text);
    epw_with_gaps = year((invented_shape){2003, "\n", "-7.0", -1, "99.9", "9999", 400, 402});
    epw_cut = year((invented_shape){2003, "\n", "-7.0", 5000, NULL, NULL, 0, 0});
    load_text("read.json", small_van, &van_text);
    load_text("twice.json", "{\"a\": 1, \"b\": {\"c\": 2, \"c\": 3}, \"a\": 4}", &twice_text);
    load_text("broken.json", "{\"a\": [1, 2}", &broken_text);
    load(SW_RESOURCE_STATIONS, "stations.csv", &stations);
    load(SW_RESOURCE_ZONE, "America/Denver", &zone);
}

static void tear_down(void)
{
    sw_text *const texts[] = {&stations, &zone, &van_text, &twice_text, &broken_text};
    for (size_t i = 0; i < sizeof texts / sizeof texts[0]; i++)
        sw_text_free(texts[i]);
    free(epw.text);
    free(epw_with_gaps.text);
    free(epw_cut.text);
    program_remove(folder);
}

// ---- the attempts ----

/* A failed call hands nothing out, a good one something. Noted, and asserted once memory is there again. */
static const char *handed_wrongly;

static void handed(sw_status status, const void *out)
{
    if ((status == SW_OK || status == SW_UNBALANCED) != (out != NULL))
        handed_wrongly =
            out != NULL ? "a failed call must set its output to NULL" : "a good call gave no output";
}

static sw_status try_messages(sw_messages *messages, const char *file)
{
    (void)messages, (void)file;
    sw_messages *made = sw_messages_create();
    sw_messages_free(made);
    return made != NULL ? SW_OK : SW_NO_MEMORY;
}

static sw_status try_error(sw_messages *messages, const char *file)
{
    return sw_error(messages, SW_BAD_INPUT, &(sw_where){.file = file, .path = "/a"}, "a hint", "what %d", 1);
}

static sw_status read_document(sw_messages *messages, const sw_text *text)
{
    sw_document *out = (sw_document *)(void *)messages;
    sw_status status = sw_document_read(text->bytes, text->length, "read.json", messages, &out);
    handed(status, out);
    sw_document_free(out);
    return status;
}

static sw_status try_document(sw_messages *messages, const char *file)
{
    (void)file;
    return read_document(messages, &van_text);
}

static sw_status try_duplicate_keys(sw_messages *messages, const char *file)
{
    (void)file;
    return read_document(messages, &twice_text);
}

static sw_status try_broken_document(sw_messages *messages, const char *file)
{
    (void)file;
    return read_document(messages, &broken_text);
}

static sw_status try_read_van(sw_messages *messages, const char *file)
{
    sw_plan *out = (sw_plan *)(void *)messages;
    sw_status status = sw_read_van(&loader, path_to(file), messages, &out);
    handed(status, out);
    sw_plan_free(out);
    return status;
}

static sw_status try_read_trip(sw_messages *messages, const char *file)
{
    sw_plan *out = (sw_plan *)(void *)messages;
    sw_status status = sw_read_trip(&loader, path_to(file), messages, &out);
    handed(status, out);
    sw_plan_free(out);
    return status;
}

static sw_status try_read_any(sw_messages *messages, const char *file)
{
    sw_plan *out = (sw_plan *)(void *)messages;
    sw_file_kind kind = SW_FILE_KIND_COUNT;
    sw_status status = sw_read_any(&loader, path_to(file), messages, &kind, &out);
    if (kind != SW_FILE_PART)
        handed(status, out);
    sw_plan_free(out);
    return status;
}

static sw_status try_load(sw_messages *messages, const char *file)
{
    char reason[200] = "";
    sw_text out = {0};
    (void)messages;
    sw_status status = loader.load(loader.context, SW_RESOURCE_FILE, path_to(file), NULL, &out, reason);
    if (status != SW_OK && reason[0] == '\0')
        handed_wrongly = "the loader must give a reason";
    sw_text_free(&out);
    return status;
}

static sw_status read_year(sw_messages *messages, const invented_text *text)
{
    sw_series *out = (sw_series *)(void *)messages;
    sw_status status = sw_epw_read(text->text, text->length, "year.epw", messages, &out);
    handed(status, out);
    sw_series_free(out);
    return status;
}

static sw_status try_epw(sw_messages *messages, const char *file)
{
    (void)file;
    return read_year(messages, &epw);
}

static sw_status try_epw_with_gaps(sw_messages *messages, const char *file)
{
    (void)file;
    return read_year(messages, &epw_with_gaps);
}

static sw_status try_epw_cut(sw_messages *messages, const char *file)
{
    (void)file;
    return read_year(messages, &epw_cut);
}

static sw_status try_stations(sw_messages *messages, const char *file)
{
    sw_station_table *out = (sw_station_table *)(void *)messages;
    sw_climate climate;
    (void)file;
    sw_status status = sw_stations_open(stations.bytes, stations.length, "stations.csv", messages, &out);
    handed(status, out);
    if (status == SW_OK)
        status = sw_climate_at(out, 38.5, -109.6, 1500.0, NULL, messages, &climate);
    sw_stations_free(out);
    return status;
}

static sw_status try_zone(sw_messages *messages, const char *file)
{
    sw_zone *out = (sw_zone *)(void *)messages;
    (void)file;
    sw_status status =
        sw_zone_read((const unsigned char *)zone.bytes, zone.length, "America/Denver", messages, &out);
    handed(status, out);
    sw_zone_free(out);
    return status;
}

/* The plan is read before the failures begin and released after them: attempts on a plan share it. */
static sw_plan *plan;
static sw_rehearsal *rehearsal;

static sw_status try_itinerary(sw_messages *messages, const char *file)
{
    sw_itinerary *out = (sw_itinerary *)(void *)messages;
    (void)file;
    sw_status status = sw_itinerary_make(plan, &loader, STEP_S, messages, &out);
    handed(status, out);
    sw_itinerary_free(out);
    return status;
}

static sw_status try_course(sw_messages *messages, const char *file)
{
    sw_course *out = (sw_course *)(void *)messages;
    (void)file;
    sw_status status = sw_course_make(plan, &loader, STEP_S, messages, &out);
    handed(status, out);
    sw_course_free(out);
    return status;
}

static sw_status try_rehearse(sw_messages *messages, const char *file)
{
    sw_rehearsal *out = (sw_rehearsal *)(void *)messages;
    (void)file;
    sw_status status = sw_rehearse(plan, &loader, STEP_S, messages, &out);
    handed(status, out);
    sw_rehearsal_free(out);
    return status;
}

static sw_status try_text(sw_messages *messages, const char *file)
{
    char *out = (char *)(void *)messages;
    (void)file;
    sw_status status = sw_report_text(rehearsal, &(sw_report_style){SW_UNITS_US, 80, 1, 1}, &out);
    handed(status, out);
    free(out);
    return status;
}

static sw_status try_json(sw_messages *messages, const char *file)
{
    char *out = (char *)(void *)messages;
    (void)file;
    sw_status status = sw_report_json(rehearsal, &out);
    handed(status, out);
    free(out);
    return status;
}

static sw_status try_ledger(sw_messages *messages, const char *file)
{
    char *out = (char *)(void *)messages;
    (void)file;
    sw_status status = sw_report_ledger(rehearsal, &out);
    handed(status, out);
    free(out);
    return status;
}

static sw_status try_plan_report(sw_messages *messages, const char *file)
{
    char *out = (char *)(void *)messages;
    (void)file;
    sw_status status = sw_report_plan(plan, &(sw_report_style){SW_UNITS_SI, 80, 0, 0}, &out);
    handed(status, out);
    free(out);
    return status;
}

static sw_status try_verdict(sw_messages *messages, const char *file)
{
    char *first = (char *)(void *)messages, *second = first;
    (void)file;
    sw_status status = sw_report_verdict(rehearsal, &first, &second);
    handed(status, first);
    handed(status, second);
    free(first);
    free(second);
    return status;
}

static sw_status try_schema(sw_messages *messages, const char *file)
{
    char *out = (char *)(void *)messages;
    sw_file_kind kind = SW_FILE_VAN;
    while (kind < SW_FILE_KIND_COUNT && strcmp(sw_schema_file(kind), file) != 0)
        kind++;
    sw_status status = sw_schema_text(kind, &out);
    handed(status, out);
    free(out);
    return status;
}

static draft_answers answers(void)
{
    draft_answers a = {.van_name = "Our van",
                       .van_file = "van.json",
                       .station = "Rifle CO",
                       .station_is = "Rifle CO",
                       .first_day = 20000,
                       .nights = 5,
                       .people = 2,
                       .panels = 2,
                       .panel_w = 175.0,
                       .batteries = 2,
                       .battery_ah = 105.0,
                       .chemistry = SW_AGM,
                       .inverter_w = 1500.0,
                       .shore = 1,
                       .driving = 1,
                       .fridge = 1,
                       .heater = 1,
                       .cooking = DRAFT_INDUCTION,
                       .light_hours = 3,
                       .laptops = 2,
                       .assumed = 1u << DRAFT_LAPTOPS | 1u << DRAFT_NIGHTS};
    for (int i = 0; i < DRAFT_ANSWERS; i++)
        a.said[i] = "2";
    return a;
}

static sw_status try_draft_van(sw_messages *messages, const char *file)
{
    draft_answers a = answers();
    char *out = (char *)(void *)messages;
    (void)file;
    sw_status status = sw_draft_van_text(&a, &out);
    handed(status, out);
    free(out);
    return status;
}

static sw_status try_draft_trip(sw_messages *messages, const char *file)
{
    draft_answers a = answers();
    char *out = (char *)(void *)messages;
    (void)file;
    sw_status status = sw_draft_trip_text(&a, &out);
    handed(status, out);
    free(out);
    return status;
}

// ---- one failure after another ----

/// What is going on, for failures of the test; messages of the call when nothing fails; calls that only lost
/// a warning.
static char doing[400];
static size_t whole_count;
static long survived;

/* What is kept of a failure speaks of memory, not of a fault that the file does not have. */
static void check_messages(const attempt *a, const sw_messages *messages)
{
    for (size_t i = 0; i < sw_messages_count(messages); i++) {
        const sw_message *m = sw_messages_at(messages, i);
        ck_assert_msg(m->severity == SW_WARNING || m->status == SW_NO_MEMORY || a->good != SW_OK,
                      "%s: the message is \"%s\", which blames the file", doing, m->what);
    }
}

/* A wrong file may be told as wrong or as too much for the memory, but never passes. By design a lost warning
   ends no call: the list counts it, and all others are there. */
static void check_status(const attempt *a, sw_status status, const sw_messages *messages)
{
    size_t count = sw_messages_count(messages), lost = sw_messages_lost(messages);
    int told = status == a->good && a->good != SW_OK && count + lost > 0;
    int only_lost = status == SW_OK && a->good == SW_OK && lost > 0 && count + lost == whole_count;
    ck_assert_msg(status == SW_NO_MEMORY || told || only_lost,
                  "%s: the status is %d with %zu messages; return SW_NO_MEMORY there", doing, status, count);
    survived += only_lost;
}

/* @return how many allocations the call asked for */
static long try_once(const attempt *a, long nth, failing_how how)
{
    long before = failing_memory_alive();
    sw_messages *messages = sw_messages_create();
    snprintf(doing, sizeof doing, "%s %s: allocation %ld failed%s", a->name, a->file, nth,
             how == FAIL_ON ? " and all after it" : "");
    failing_memory_begin(nth, how);
    sw_status status = a->call(messages, a->file);
    long asked = failing_memory_end();
    ck_assert_msg(handed_wrongly == NULL, "%s: %s", doing, handed_wrongly);
    if (nth > 0 && asked >= nth) {
        check_status(a, status, messages);
        check_messages(a, messages);
    } else {
        ck_assert_msg(status == a->good, "%s %s: nothing failed, and the status is %d", a->name, a->file,
                      status);
        whole_count = sw_messages_count(messages);
    }
    sw_messages_free(messages);
    ck_assert_msg(failing_memory_alive() == before, "%s: %ld allocations are left; free them", doing,
                  failing_memory_alive() - before);
    return asked;
}

static void try_all(const attempt *a)
{
    long whole = try_once(a, 0, FAIL_ONE);
    survived = 0;
    for (long nth = 1; nth <= whole; nth++) {
        try_once(a, nth, FAIL_ONE);
        try_once(a, nth, FAIL_ON);
    }
    ck_assert_int_eq(try_once(a, whole + 1, FAIL_ONE), whole);
    ck_assert_msg(whole > 0, "%s asks for no memory: take it out of the list", a->name);
    printf("  %-17s %-19s %5ld allocations failed, alone and with all after it", a->name,
           a->file[0] == '/' ? strrchr(a->file, '/') + 1 : a->file, whole);
    if (survived > 0)
        printf("; %ld times a warning was lost and counted", survived);
    printf("\n");
}

static void try_each(const attempt *list, size_t count)
{
    if (!failing_memory_present())
        return;
    for (size_t i = 0; i < count; i++)
        try_all(&list[i]);
}

START_TEST(reading_files_without_memory)
{
    static const attempt list[] = {
        {"messages", try_messages, "", SW_OK},
        {"an error", try_error, "van.json", SW_BAD_INPUT},
        {"load", try_load, "van.json", SW_OK},
        {"document", try_document, "", SW_OK},
        {"duplicate keys", try_duplicate_keys, "", SW_BAD_INPUT},
        {"broken document", try_broken_document, "", SW_BAD_INPUT},
        {"read van", try_read_van, "van.json", SW_OK},
        {"read van", try_read_van, SW_SOURCE_DIR "/profiles/vans/long-trip-van.json", SW_OK},
        {"read van", try_read_van, "wrong-van.json", SW_BAD_INPUT},
        {"read van", try_read_van, "absent.json", SW_CANNOT_READ},
        {"read trip", try_read_trip, "average.json", SW_OK},
        {"read trip", try_read_trip, "told.json", SW_OK},
        {"read trip", try_read_trip, "hourly.json", SW_OK},
        {"read trip", try_read_trip, "wrong-trip.json", SW_BAD_INPUT},
        {"read any", try_read_any, "van.json", SW_OK},
        {"read any", try_read_any, "average.json", SW_OK},
        {"read any", try_read_any, "part.json", SW_OK},
        {"read any", try_read_any, "wrong-part.json", SW_BAD_INPUT},
    };
    try_each(list, sizeof list / sizeof list[0]);
}
END_TEST

START_TEST(reading_weather_and_zones_without_memory)
{
    static const attempt list[] = {
        {"weather record", try_epw, "", SW_OK},
        {"weather with gaps", try_epw_with_gaps, "", SW_OK},
        {"weather cut short", try_epw_cut, "", SW_BAD_INPUT},
        {"stations, climate", try_stations, "", SW_OK},
        {"zone", try_zone, "", SW_OK},
    };
    try_each(list, sizeof list / sizeof list[0]);
}
END_TEST

static sw_plan *plan_of(const char *file)
{
    sw_messages *messages = sw_messages_create();
    sw_plan *out = NULL;
    sw_status status = sw_read_trip(&loader, path_to(file), messages, &out);
    if (status != SW_OK)
        print_messages(messages);
    ck_assert_int_eq(status, SW_OK);
    sw_messages_free(messages);
    return out;
}

START_TEST(rehearsing_without_memory)
{
    static const char *const trips[] = {"average.json", "told.json", "hourly.json"};
    for (size_t i = 0; i < 3; i++) {
        const attempt list[] = {{"itinerary", try_itinerary, trips[i], SW_OK},
                                {"course", try_course, trips[i], SW_OK},
                                {"rehearsal", try_rehearse, trips[i], SW_OK}};
        plan = plan_of(trips[i]);
        try_each(list, sizeof list / sizeof list[0]);
        sw_plan_free(plan);
    }
}
END_TEST

START_TEST(refusing_a_trip_without_memory)
{
    static const char *const trips[] = {"no-station.json", "no-zone.json", "no-weather.json",
                                        "far-away.json"};
    for (size_t i = 0; i < 4; i++) {
        plan = plan_of(trips[i]);
        sw_messages *messages = sw_messages_create();
        sw_status status = try_rehearse(messages, "");
        const attempt wrong = {"rehearsal", try_rehearse, trips[i], status};
        ck_assert_msg(status == SW_BAD_INPUT || status == SW_CANNOT_READ, "%s is %d", trips[i], status);
        try_each(&wrong, 1);
        sw_messages_free(messages);
        sw_plan_free(plan);
    }
}
END_TEST

START_TEST(reporting_without_memory)
{
    static const attempt list[] = {
        {"text", try_text, "", SW_OK},
        {"json", try_json, "", SW_OK},
        {"ledger", try_ledger, "", SW_OK},
        {"verdict", try_verdict, "", SW_OK},
        {"what was assumed", try_plan_report, "", SW_OK},
    };
    sw_messages *messages = sw_messages_create();
    plan = plan_of(SW_SOURCE_DIR "/profiles/trips/canyon-week.json");
    ck_assert_int_eq(sw_rehearse(plan, &loader, STEP_S, messages, &rehearsal), SW_OK);
    try_each(list, sizeof list / sizeof list[0]);
    sw_rehearsal_free(rehearsal);
    sw_plan_free(plan);
    sw_messages_free(messages);
}
END_TEST

START_TEST(writing_schemas_without_memory)
{
    for (int kind = 0; kind < SW_FILE_KIND_COUNT; kind++) {
        const attempt schema = {"schema", try_schema, sw_schema_file((sw_file_kind)kind), SW_OK};
        try_each(&schema, 1);
    }
}
END_TEST

START_TEST(drafting_without_memory)
{
    static const attempt list[] = {
        {"draft of a van", try_draft_van, "", SW_OK},
        {"draft of a trip", try_draft_trip, "", SW_OK},
    };
    try_each(list, sizeof list / sizeof list[0]);
}
END_TEST

Suite *sw_suite(void)
{
    const TTest *const tests[] = {reading_files_without_memory, reading_weather_and_zones_without_memory,
                                  rehearsing_without_memory,    refusing_a_trip_without_memory,
                                  reporting_without_memory,     writing_schemas_without_memory,
                                  drafting_without_memory,      NULL};
    return sw_suite_with("failing memory", tests, 240, set_up, tear_down);
}
