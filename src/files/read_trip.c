// From a trip file, and the van that it names, to a plan.
#include "files/merge.h"
#include "files/read_van.h"
#include "files/values.h"

#include "stillwatt/civil.h"
#include "stillwatt/study.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

// ---- places ----

sw_where sw_reader_where(sw_reader *reader, const sw_node *node)
{
    char path[512];
    sw_where where = {.file = sw_reader_text(reader, "%s", sw_document_name(node->document))};
    sw_document_position(node->document, node->offset, &where.line, &where.column);
    sw_node_pointer(node, path, sizeof path);
    where.path = sw_reader_text(reader, "%s", path);
    return where;
}

static void read_normals(sw_reader *reader, const sw_node *node, const char *path, sw_place *place)
{
    sw_normals *normals = sw_arena_alloc(reader->arena, sizeof *normals);
    if (normals == NULL) {
        sw_reader_no_memory(reader);
        return;
    }
    sw_layers layers = {{node}, 1, 0, sw_reader_text(reader, "%s/normals", path)};
    size_t before = sw_messages_errors(reader->messages);
    if (!sw_check_keys(reader, &sw_normals_table, node))
        return;
    sw_fill(reader, &sw_normals_table, &layers, normals);
    for (int month = 0; month < 12 && sw_messages_errors(reader->messages) == before; month++)
        if (normals->low_c[month] > normals->high_c[month])
            sw_reader_error(reader, node, 0, "\"low\" are the means of the nights, \"high\" of the days",
                            "in month %d the low lies above the high", month + 1);
    place->normals = normals;
}

/* A list of objects of one table, each filled in its place. @return the first of them in the arena, NULL if
   there are none or after a message */
static void *read_objects(sw_reader *reader, const sw_node *list, const sw_table *table, const char *example,
                          const char *path, size_t size, int most, int *count)
{
    int objects = list != NULL && list->type == SW_JSON_ARRAY ? sw_reader_members(list) : 0;
    if (list == NULL)
        return NULL;
    if (objects == 0 || objects > most) {
        sw_reader_error(reader, list, 0, example, "this must be a list of 1 to %d objects, in brackets",
                        most);
        return NULL;
    }
    char *out = sw_arena_alloc(reader->arena, (size_t)objects * size);
    if (out == NULL) {
        sw_reader_no_memory(reader);
        return NULL;
    }
    size_t before = sw_messages_errors(reader->messages);
    for (const sw_node *node = list->first; node != NULL; node = node->next) {
        sw_layers layers = {{node}, 1, 0, sw_reader_text(reader, "%s/%d", path, *count)};
        if (sw_check_keys(reader, table, node))
            sw_fill(reader, table, &layers, out + (size_t)*count * size);
        ++*count;
    }
    return sw_messages_errors(reader->messages) == before ? out : NULL;
}

static void read_skyline(sw_reader *reader, const sw_node *node, const char *path, sw_place *place)
{
    place->skyline = read_objects(reader, node, &sw_skyline_table,
                                  "\"skyline\": [{\"toward\": \"90 deg\", \"height\": \"18 deg\"}]",
                                  sw_reader_text(reader, "%s/skyline", path), sizeof *place->skyline,
                                  SW_SKYLINE_MAX, &place->skyline_points);
    for (int i = 1; place->skyline != NULL && i < place->skyline_points; i++)
        if (place->skyline[i].toward_deg <= place->skyline[i - 1].toward_deg)
            sw_reader_error(reader, node, 0, "go round clockwise from north, from 0 deg to below 360 deg",
                            "the directions of a skyline must rise: %g deg follows %g deg",
                            place->skyline[i].toward_deg, place->skyline[i - 1].toward_deg);
}

static void check_place(sw_reader *reader, const sw_node *node, const sw_place *place)
{
    int position = !isnan(place->lat_deg) && !isnan(place->lon_deg);
    if (place->station == NULL && !position)
        sw_reader_error(reader, node, 0,
                        "\"station\": \"Grand Junction CO\", or latitude, longitude, elevation and zone",
                        "a place needs a station of the weather table, or its latitude and longitude");
    if (place->station != NULL && (!isnan(place->lat_deg) || !isnan(place->lon_deg)))
        sw_reader_error(reader, node, 0, "keep one of the two",
                        "a place has either a station or a position, not both");
    if (place->station == NULL && position && isnan(place->elevation_m))
        sw_reader_error(reader, node, 0, "add \"elevation\": \"1370 m\"",
                        "a place given by its position needs its \"elevation\"");
}

static void read_place(sw_reader *reader, const sw_node *node, sw_place *place)
{
    const char *path = sw_reader_text(reader, "trip /places/%s", node->key);
    sw_layers layers = {{node}, 1, 0, path};
    size_t before = sw_messages_errors(reader->messages);
    place->name = sw_name_read(reader, node); // legs look for it, whatever else is wrong
    place->where = sw_reader_where(reader, node);
    if (!sw_check_keys(reader, &sw_place_table, node))
        return;
    sw_fill(reader, &sw_place_table, &layers, place);
    if (sw_node_member(node, "normals") != NULL)
        read_normals(reader, sw_node_member(node, "normals"), path, place);
    read_skyline(reader, sw_node_member(node, "skyline"), path, place);
    if (sw_messages_errors(reader->messages) == before)
        check_place(reader, node, place);
}

static void read_places(sw_reader *reader, const sw_node *root, sw_trip *trip)
{
    const sw_node *map = sw_node_member(root, "places");
    if (map == NULL)
        return;
    if (map->type != SW_JSON_OBJECT || map->first == NULL) {
        sw_reader_error(reader, map, 0, "\"places\": {\"mesa\": {\"station\": \"Moab\"}}",
                        "\"places\" must hold at least one place by name, in braces");
        return;
    }
    trip->place = sw_arena_alloc(reader->arena, SW_PLACES_MAX * sizeof *trip->place);
    if (trip->place == NULL) {
        sw_reader_no_memory(reader);
        return;
    }
    for (const sw_node *node = map->first; node != NULL; node = node->next) {
        if (trip->places == SW_PLACES_MAX) {
            sw_reader_error(reader, node, 1, "split the trip into two files",
                            "at most %d places are possible", SW_PLACES_MAX);
            return;
        }
        read_place(reader, node, &trip->place[trip->places++]);
    }
}

// ---- legs ----

static int place_index(sw_reader *reader, const sw_trip *trip, const sw_node *node)
{
    const char *names[SW_PLACES_MAX];
    if (node->type != SW_JSON_STRING) {
        sw_reader_error(reader, node, 0, "for example \"mesa\"",
                        "the name of one of the \"places\" is expected here");
        return 0;
    }
    for (int i = 0; i < trip->places; i++) {
        names[i] = trip->place[i].name;
        if (strcmp(names[i], node->text) == 0)
            return i;
    }
    if (trip->places == 0)
        return 0; // already told
    const char *nearest = sw_nearest_word(node->text, names, (size_t)trip->places);
    if (nearest != NULL)
        sw_reader_error(reader, node, 0, "the name must be one of \"places\"",
                        "there is no place \"%s\"; did you mean \"%s\"?", node->text, nearest);
    else
        sw_reader_error(reader, node, 0,
                        "add it to \"places\", for example \"mesa\": {\"station\": \"Moab\"}",
                        "there is no place \"%s\"", node->text);
    return 0;
}

static void read_hookup(sw_reader *reader, const sw_node *node, int index, sw_leg *leg)
{
    sw_layers layers = {{node}, 1, 0, sw_reader_text(reader, "trip /legs/%d/hookup", index)};
    if (!sw_check_keys(reader, &sw_hookup_table, node))
        return;
    sw_fill(reader, &sw_hookup_table, &layers, leg);
    if (!isnan(leg->shore_steady))
        return;
    leg->shore_steady = sw_steady_share(leg->shore_v);
    sw_assume(reader, layers.path, "steady", "share of the breaker for three hours and more",
              "continuous-load rule of supplies up to 150 V; above, the whole", &leg->shore_steady,
              SW_DIM_RATIO, leg->shore_steady, leg->shore_steady);
}

#define LEG_EXAMPLE                                                                                          \
    "{\"stay\": \"mesa\", \"to\": \"2026-11-08 10:00\"} or {\"drive\": [\"town\", \"mesa\"], \"to\": "       \
    "\"2026-11-06 15:00\"}"

static void read_drive(sw_reader *reader, const sw_node *drive, const sw_trip *trip, sw_leg *leg)
{
    if (drive->type != SW_JSON_ARRAY || drive->first == NULL || drive->first->next == NULL ||
        drive->first->next->next != NULL) {
        sw_reader_error(reader, drive, 0, "\"drive\": [\"town\", \"mesa\"]",
                        "a drive names the two places it joins");
        return;
    }
    leg->place = place_index(reader, trip, drive->first);
    leg->to_place = place_index(reader, trip, drive->first->next);
}

static void read_ends(sw_reader *reader, const sw_node *node, const sw_trip *trip, sw_leg *leg)
{
    const sw_node *ends = NULL;
    int more = 0;
    leg->kind = SW_LEG_STAY;
    for (int kind = 0; kind < SW_LEG_KINDS; kind++) {
        const sw_node *found = sw_node_member(node, sw_leg_kind_words[kind]);
        if (found == NULL)
            continue;
        more = ends != NULL;
        ends = found;
        leg->kind = kind;
    }
    if (ends == NULL || more)
        sw_reader_error(reader, node, 0, LEG_EXAMPLE, "a leg is one of \"stay\", \"drive\" and \"store\"");
    else if (leg->kind == SW_LEG_DRIVE)
        read_drive(reader, ends, trip, leg);
    else
        leg->place = leg->to_place = place_index(reader, trip, ends);
}

/* Keys that make no sense for the kind of leg. */
static void check_leg(sw_reader *reader, const sw_node *node, const sw_leg *leg)
{
    for (const sw_kind_key *row = sw_leg_kind_keys; row->key != NULL; row++) {
        const sw_node *stranger = sw_node_member(node, row->key);
        if (stranger != NULL && (row->kinds & SW_KIND(leg->kind)) == 0)
            sw_reader_error(reader, stranger, 1, "remove it", "a %s has no \"%s\"",
                            sw_leg_kind_words[leg->kind], row->key);
    }
}

static void read_leg(sw_reader *reader, const sw_node *node, int index, const sw_trip *trip, sw_leg *leg)
{
    sw_layers layers = {{node}, 1, 0, sw_reader_text(reader, "trip /legs/%d", index)};
    if (node->type != SW_JSON_OBJECT) {
        sw_reader_error(reader, node, 0, LEG_EXAMPLE, "a leg is expected here, with its keys in braces");
        return;
    }
    sw_check_keys(reader, &sw_leg_table, node);
    int assumed_before = reader->assumptions;
    sw_fill(reader, &sw_leg_table, &layers, leg);
    leg->shore_a = leg->shore_v = NAN;
    leg->where = sw_reader_where(reader, node);
    leg->has_heading = sw_node_member(node, "heading") != NULL;
    read_ends(reader, node, trip, leg);
    check_leg(reader, node, leg);
    if (leg->kind != SW_LEG_DRIVE)
        reader->assumptions = assumed_before; // only drives idle
    if (sw_node_member(node, "hookup") != NULL)
        read_hookup(reader, sw_node_member(node, "hookup"), index, leg);
    leg->shade = read_objects(reader, sw_node_member(node, "shade"), &sw_shade_table,
                              "\"shade\": [{\"hours\": \"06:00-10:30\", \"beam\": \"80 %\"}]",
                              sw_reader_text(reader, "trip /legs/%d/shade", index), sizeof *leg->shade,
                              SW_SHADES_MAX, &leg->shades);
    if (index == 0 && sw_node_member(node, "from") == NULL)
        sw_reader_error(reader, node, 0, "add \"from\": \"2026-11-06 16:00\"",
                        "the first leg needs its \"from\"");
}

static void read_legs(sw_reader *reader, const sw_node *root, sw_trip *trip)
{
    const sw_node *list = sw_node_member(root, "legs");
    if (list == NULL)
        return;
    if (list->type != SW_JSON_ARRAY || list->first == NULL) {
        sw_reader_error(
            reader, list, 0,
            "\"legs\": [{\"stay\": \"mesa\", \"from\": \"2026-11-06 16:00\", \"to\": \"2026-11-08 10:00\"}]",
            "\"legs\" must be a list of at least one leg, in brackets");
        return;
    }
    trip->leg = sw_arena_alloc(reader->arena, SW_LEGS_MAX * sizeof *trip->leg);
    if (trip->leg == NULL) {
        sw_reader_no_memory(reader);
        return;
    }
    for (const sw_node *node = list->first; node != NULL; node = node->next) {
        if (trip->legs == SW_LEGS_MAX) {
            sw_reader_error(reader, node, 0, "split the trip into two files", "at most %d legs are possible",
                            SW_LEGS_MAX);
            return;
        }
        read_leg(reader, node, trip->legs, trip, &trip->leg[trip->legs]);
        trip->legs++;
    }
}

// ---- sky ----

static double read_cloud(sw_reader *reader, const sw_node *node)
{
    const char *words[SW_CLOUD_WORDS];
    const char *hint = "clear, few, scattered, broken, overcast, or oktas 0 to 8";
    if (node->type == SW_JSON_NUMBER && node->number >= 0.0 && node->number <= 8.0)
        return node->number;
    if (node->type != SW_JSON_STRING) {
        sw_reader_error(reader, node, 0, hint, "a cloud amount is expected here, as a word or in oktas");
        return 0.0;
    }
    for (int i = 0; i < SW_CLOUD_WORDS; i++) {
        words[i] = sw_cloud_words[i].word;
        if (strcmp(node->text, words[i]) == 0)
            return sw_cloud_words[i].okta;
    }
    sw_reader_error(reader, node, 0, hint, "\"%s\" is not a cloud amount%s", node->text,
                    sw_reader_guess(reader, node->text, words, SW_CLOUD_WORDS));
    return 0.0;
}

static void read_told_day(sw_reader *reader, const sw_node *node, sw_told_day *day)
{
    day->low_c = day->high_c = NAN;
    if (node->type != SW_JSON_OBJECT) {
        day->morning_okta = day->afternoon_okta = read_cloud(reader, node);
        return;
    }
    sw_layers layers = {{node}, 1, 0, "trip /sky"};
    sw_check_keys(reader, &sw_told_table, node);
    sw_fill(reader, &sw_told_table, &layers, day);
    const sw_node *morning = sw_node_member(node, "morning"), *afternoon = sw_node_member(node, "afternoon");
    if (morning != NULL && afternoon != NULL) {
        day->morning_okta = read_cloud(reader, morning);
        day->afternoon_okta = read_cloud(reader, afternoon);
    }
    if (day->low_c > day->high_c)
        sw_reader_error(reader, node, 0, "for example \"low\": \"-3 C\", \"high\": \"12 C\"",
                        "the day's low lies above its high");
}

static int64_t read_date(sw_reader *reader, const sw_node *node)
{
    sw_civil civil;
    int has_time;
    if (sw_civil_parse(node->key, &civil, &has_time) && !has_time)
        return sw_days_from_civil(civil.year, civil.month, civil.day);
    sw_reader_error(reader, node, 1, "for example \"2026-11-08\": \"overcast\"",
                    "\"%s\" is not a date that exists", node->key);
    return 0;
}

static void read_told(sw_reader *reader, const sw_node *node, sw_sky_spec *sky)
{
    const sw_node *otherwise = sw_node_member(node, "otherwise"), *days = sw_node_member(node, "days");
    int count = 1;
    if (otherwise == NULL && (sky->kind == SW_SKY_TOLD || days == NULL))
        return; // already told, or nothing is
    if (days != NULL && days->type != SW_JSON_OBJECT) {
        sw_reader_error(reader, days, 0, "\"days\": {\"2026-11-08\": \"overcast\"}",
                        "\"days\" must hold cloud by date, in braces");
        return;
    }
    for (const sw_node *day = days != NULL ? days->first : NULL; day != NULL; day = day->next)
        count++;
    sky->told = sw_arena_alloc(reader->arena, (size_t)count * sizeof *sky->told);
    if (sky->told == NULL) {
        sw_reader_no_memory(reader);
        return;
    }
    sky->told[0] = (sw_told_day){INT64_MIN, NAN, NAN, NAN, NAN};
    if (otherwise != NULL)
        read_told_day(reader, otherwise, &sky->told[0]);
    sky->told_days = 1;
    for (const sw_node *day = days != NULL ? days->first : NULL; day != NULL; day = day->next) {
        sky->told[sky->told_days].day = read_date(reader, day);
        read_told_day(reader, day, &sky->told[sky->told_days]);
        if (sky->kind == SW_SKY_HOURLY &&
            (sw_node_member(day, "low") != NULL || sw_node_member(day, "high") != NULL))
            sw_reader_error(reader, day, 0, "leave \"low\" and \"high\" out",
                            "a day that is told within an hourly sky keeps the temperatures of the file");
        sky->told_days++;
    }
}

static void check_sky_needs(sw_reader *reader, const sw_node *node, const sw_sky_spec *sky)
{
    for (const sw_kind_need *need = sw_sky_needs; need->key != NULL; need++)
        if ((need->kinds & SW_KIND(sky->kind)) != 0 && sw_node_member(node, need->key) == NULL)
            sw_reader_error(reader, node, 0, need->hint, "%s", need->told);
}

/* Keys that make no sense for the kind of sky. */
static void check_sky_keys(sw_reader *reader, const sw_node *node, const sw_sky_spec *sky)
{
    for (const sw_kind_key *row = sw_sky_kind_keys; row->key != NULL; row++) {
        const sw_node *stranger = sw_node_member(node, row->key);
        if (stranger == NULL || (row->kinds & SW_KIND(sky->kind)) != 0)
            continue;
        const char *kind = row->kinds == SW_KIND(SW_SKY_TOLD)     ? "told"
                           : row->kinds == SW_KIND(SW_SKY_HOURLY) ? "hourly"
                                                                  : "chance";
        char hint[32];
        snprintf(hint, sizeof hint, "use \"kind\": \"%s\"", kind);
        sw_reader_error(reader, stranger, 1, hint, "only a sky of kind \"%s\" has \"%s\"", kind, row->key);
    }
}

void sw_reader_sky(sw_reader *reader, const sw_node *node, const char *path, sw_sky_spec *sky)
{
    sw_layers layers = {{node}, 1, 0, path};
    size_t before = sw_messages_errors(reader->messages);
    if (!sw_check_keys(reader, &sw_sky_table, node))
        return;
    sw_fill(reader, &sw_sky_table, &layers, sky);
    if (sw_messages_errors(reader->messages) != before)
        return;
    check_sky_needs(reader, node, sky);
    read_told(reader, node, sky);
    check_sky_keys(reader, node, sky);
    const sw_node *file = sw_node_member(node, "file");
    sky->where = sw_reader_where(reader, file != NULL ? file : node);
}

static void read_sky(sw_reader *reader, const sw_node *root, sw_sky_spec *sky)
{
    const sw_node *node = sw_node_member(root, "sky");
    if (node != NULL) {
        sw_reader_sky(reader, node, "trip /sky", sky);
        return;
    }
    sky->kind = SW_SKY_AVERAGE;
    sw_assume_word(reader, "trip ", "sky", "the average sky of place and month", "the format's convention",
                   "");
}

// ---- trips ----

static sw_trip *read_trip_object(sw_reader *reader, const sw_node *root)
{
    sw_trip *trip = sw_arena_alloc(reader->arena, sizeof *trip);
    if (trip == NULL) {
        sw_reader_no_memory(reader);
        return NULL;
    }
    sw_layers layers = {{root}, 1, 0, "trip "};
    sw_check_keys(reader, &sw_trip_table, root);
    sw_fill(reader, &sw_trip_table, &layers, trip);
    trip->file = sw_reader_text(reader, "%s", sw_document_name(root->document));
    if (trip->cabin_least_c > trip->cabin_most_c)
        sw_reader_error(reader, root, 0,
                        "for example \"cabin_at_least\": \"16 C\", \"cabin_at_most\": \"30 C\"",
                        "cabin_at_least (%g C) must not lie above cabin_at_most (%g C)", trip->cabin_least_c,
                        trip->cabin_most_c);
    read_places(reader, root, trip);
    read_legs(reader, root, trip);
    read_sky(reader, root, &trip->sky);
    return trip;
}

/* A patch that no memory is left for is told, and reads as nothing. */
static const sw_node *patched(sw_reader *reader, const sw_node *node, const sw_node *patch)
{
    if (node == NULL || patch == NULL)
        return node;
    const sw_node *out = sw_node_merge(node, patch, reader->arena);
    if (out == NULL)
        sw_reader_no_memory(reader);
    return out;
}

static sw_van *read_van_of(sw_reader *reader, const sw_node *root, const sw_plan_change *change)
{
    const sw_node *name = sw_node_member(root, "van"), *asking = change->van_file != NULL ? NULL : name;
    sw_file_kind kind;
    if (name == NULL)
        return NULL;
    if (name->type != SW_JSON_STRING) {
        sw_reader_error(reader, name, 0, "\"van\": \"../vans/weekend.json\"",
                        "the name of a van file is expected here");
        return NULL;
    }
    const char *file = change->van_file != NULL ? change->van_file : name->text;
    const sw_node *van = patched(reader, sw_reader_open(reader, SW_RESOURCE_FILE, file, asking), change->van);
    if (van == NULL || !sw_reader_format(reader, van, &kind))
        return NULL;
    if (kind != SW_FILE_VAN) {
        sw_reader_error(reader, asking, 0, "name a file with \"format\": \"stillwatt van 1\"",
                        "%s is %s, but a van file is wanted%s", sw_document_name(van->document),
                        sw_file_kind_says[kind], asking != NULL ? " here" : "");
        return NULL;
    }
    return sw_reader_van(reader, van, sw_node_member(root, "habits"));
}

/* The reserve line is the client's; where nobody said, the usual one of the chemistry. */
static void derive_reserve(sw_reader *reader, sw_plan *plan)
{
    if (reader->failed || !isnan(plan->trip->reserve))
        return;
    plan->trip->reserve = sw_chemistry_of((sw_chemistry)plan->van->battery.chemistry)->reserve;
    sw_assume(reader, "trip ", "reserve", "the reserve line", "common practice, no source",
              &plan->trip->reserve, SW_DIM_RATIO, plan->trip->reserve, plan->trip->reserve);
}

// ---- entry points ----

void sw_plan_free(sw_plan *plan)
{
    if (plan != NULL)
        sw_arena_free(plan->owner);
}

/* The plan lives in its own arena, so that one call releases all. */
static sw_status finish(sw_reader *reader, sw_plan *plan, sw_plan **out)
{
    for (int i = 0; i < reader->documents; i++)
        sw_document_free(reader->document[i]);
    if (reader->failed || plan == NULL) {
        sw_arena_free(reader->arena);
        sw_status status = sw_messages_status(reader->messages);
        return reader->failed || plan == NULL ? (status != SW_OK ? status : SW_BAD_INPUT) : SW_OK;
    }
    plan->assumption = reader->assumption;
    plan->assumptions = reader->assumptions;
    plan->owner = reader->arena;
    *out = plan;
    return SW_OK;
}

/* `wanted` is a kind, or SW_FILE_KIND_COUNT for any. */
static int is_wanted(sw_reader *reader, const sw_node *root, sw_file_kind kind, sw_file_kind wanted)
{
    static const char *const hints[SW_FILE_KIND_COUNT] = {
        "a van file begins with \"format\": \"stillwatt van 1\"",
        "a trip file begins with \"format\": \"stillwatt trip 1\" and names its \"van\"",
        "a part file begins with \"format\": \"stillwatt part 1\"",
        "a study file begins with \"format\": \"stillwatt study 1\" and names its \"trips\""};
    if (wanted == SW_FILE_KIND_COUNT || kind == wanted)
        return 1;
    sw_reader_error(reader, sw_node_member(root, "format"), 0, hints[wanted], "this is %s, but %s is wanted",
                    sw_file_kind_says[kind], sw_file_kind_says[wanted]);
    return 0;
}

static void read_plan(sw_reader *reader, const sw_node *root, const sw_plan_change *change, sw_plan *plan)
{
    plan->trip = read_trip_object(reader, root);
    plan->van = read_van_of(reader, root, change);
    derive_reserve(reader, plan);
    if (reader->failed)
        return;
    sw_reader_supplies(reader, root, plan->trip, plan->van);
    sw_reader_cabin_of_trip(reader, root, plan->van);
}

/* A file that is checked and of which nothing is kept. */
static void read_aside(sw_reader *reader, const sw_node *root, sw_file_kind kind)
{
    sw_study study = {0};
    if (kind == SW_FILE_PART)
        sw_reader_part(reader, root);
    else
        sw_reader_study(reader, root, &study);
}

static sw_status read_file(const sw_loader *loader, const char *file, const sw_node *asking,
                           const sw_plan_change *change, sw_messages *messages, sw_file_kind wanted,
                           sw_file_kind *kind, sw_plan **out)
{
    sw_reader reader = {.loader = loader, .messages = messages, .arena = sw_arena_create()};
    *out = NULL;
    if (reader.arena == NULL)
        return sw_error(messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory to read %s", file);
    sw_plan *plan = sw_arena_alloc(reader.arena, sizeof *plan);
    if (plan == NULL)
        sw_reader_no_memory(&reader);
    const sw_node *root = plan != NULL ? sw_reader_open(&reader, SW_RESOURCE_FILE, file, asking) : NULL;
    root = patched(&reader, root, change->trip);
    if (root == NULL || !sw_reader_format(&reader, root, kind) || !is_wanted(&reader, root, *kind, wanted)) {
        reader.failed = 1;
    } else if (*kind == SW_FILE_PART || *kind == SW_FILE_STUDY) {
        read_aside(&reader, root, *kind);
        sw_status status = finish(&reader, NULL, out);
        return reader.failed ? status : SW_OK;
    } else if (*kind == SW_FILE_VAN) {
        plan->van = sw_reader_van(&reader, root, NULL);
    } else {
        read_plan(&reader, root, change, plan);
    }
    return finish(&reader, plan, out);
}

sw_status sw_read_any(const sw_loader *loader, const char *file, sw_messages *messages, sw_file_kind *kind,
                      sw_plan **out)
{
    return read_file(loader, file, NULL, &(sw_plan_change){0}, messages, SW_FILE_KIND_COUNT, kind, out);
}

sw_status sw_read_van(const sw_loader *loader, const char *file, sw_messages *messages, sw_plan **out)
{
    sw_file_kind kind;
    return read_file(loader, file, NULL, &(sw_plan_change){0}, messages, SW_FILE_VAN, &kind, out);
}

sw_status sw_reader_changed_trip(const sw_loader *loader, const char *file, const sw_node *asking,
                                 const sw_plan_change *change, sw_messages *messages, sw_plan **out)
{
    sw_file_kind kind;
    return read_file(loader, file, asking, change, messages, SW_FILE_TRIP, &kind, out);
}

sw_status sw_read_trip(const sw_loader *loader, const char *file, sw_messages *messages, sw_plan **out)
{
    return sw_reader_changed_trip(loader, file, NULL, &(sw_plan_change){0}, messages, out);
}
