// From a study file, or the vans of a command line, to a study; and from it to the plans of its cases.
#include "files/read_van.h"
#include "files/values.h"

#include "stillwatt/study.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

/// What a study keeps: its memory, and the documents that its patches are nodes of.
typedef struct kept {
    sw_arena *arena;
    int documents;
    sw_document *document[SW_DOCUMENTS_MAX];
} kept;

/* An array of the study in the reader's arena. @return NULL after a message */
static void *room(sw_reader *reader, int count, size_t size)
{
    void *out = sw_arena_alloc(reader->arena, (size_t)count * size);
    if (out == NULL)
        sw_reader_no_memory(reader);
    return out;
}

/* A list of 1 to `most` values. @return how many, 0 after a message */
static int list_length(sw_reader *reader, const sw_node *node, int most, const char *example)
{
    int count = node->type == SW_JSON_ARRAY ? sw_reader_members(node) : 0;
    if (count >= 1 && count <= most)
        return count;
    sw_reader_error(reader, node, 0, example, "this must be a list of 1 to %d values, in brackets", most);
    return 0;
}

static void read_trips(sw_reader *reader, const sw_node *root, sw_study *study)
{
    const sw_node *list = sw_node_member(root, "trips");
    const char *example = "\"trips\": [\"../trips/canyon-week.json\"]";
    int count = list != NULL ? list_length(reader, list, SW_TRIPS_MAX, example) : 0;
    study->trip = count > 0 ? room(reader, count, sizeof *study->trip) : NULL;
    if (study->trip == NULL)
        return;
    for (const sw_node *node = list->first; node != NULL; node = node->next) {
        if (node->type != SW_JSON_STRING || node->text[0] == '\0' || !sw_text_is_plain(node->text)) {
            sw_reader_error(reader, node, 0, example, "the name of a trip file is expected here");
            return;
        }
        study->trip[study->trips++] = (sw_study_trip){sw_reader_text(reader, "%s", node->text), node};
    }
}

static const sw_node *read_patch(sw_reader *reader, const sw_node *choice, const char *key)
{
    const sw_node *patch = sw_node_member(choice, key);
    if (patch == NULL || patch->type == SW_JSON_OBJECT)
        return patch;
    sw_reader_error(reader, patch, 0, "for example \"van\": {\"battery\": {\"parallel\": 2}}",
                    "the keys that change are expected here, in braces");
    return NULL;
}

static void read_choice(sw_reader *reader, const sw_node *node, sw_choice *choice)
{
    sw_layers layers = {{node}, 1, 0, ""};
    choice->name = sw_name_read(reader, node);
    choice->where = sw_reader_where(reader, node);
    if (!sw_check_keys(reader, &sw_choice_table, node))
        return;
    sw_fill(reader, &sw_choice_table, &layers, choice);
    choice->van = read_patch(reader, node, "van");
    choice->trip = read_patch(reader, node, "trip");
    if (sw_node_member(node, "van") == NULL && sw_node_member(node, "trip") == NULL)
        sw_reader_error(reader, node, 0, "add \"van\": {...} or \"trip\": {...} with the keys that change",
                        "the choice \"%s\" changes nothing", choice->name);
}

static const sw_choice as_it_is = {.name = "as it is", .price = 0.0, .labour_s = 0.0, .mass_kg = 0.0};

static void read_choices(sw_reader *reader, const sw_node *root, sw_study *study)
{
    const sw_node *map =
        sw_reader_map(reader, root, "choices",
                      "\"choices\": {\"second battery\": {\"van\": {\"battery\": {\"parallel\": 2}}}}");
    int count = sw_reader_members(map);
    if (map == NULL)
        return;
    if (count == 0 || count >= SW_CHOICES_MAX) {
        sw_reader_error(reader, map, 0, NULL, "a study has 1 to %d choices", SW_CHOICES_MAX - 1);
        return;
    }
    study->choice = room(reader, count + 1, sizeof *study->choice);
    if (study->choice == NULL)
        return;
    study->choice[study->choices++] = as_it_is;
    for (const sw_node *node = map->first; node != NULL; node = node->next)
        read_choice(reader, node, &study->choice[study->choices++]);
}

/* A day that is told by its date is none of a trip that moves through the year. */
static void check_sky_moves(sw_reader *reader, const sw_node *sky, unsigned months)
{
    const sw_node *days = sw_node_member(sky, "days");
    if (days != NULL && months != 0)
        sw_reader_error(reader, days, 0, "tell the sky by \"otherwise\" alone, or leave out \"months\"",
                        "days are told by date, but \"months\" moves the trips to other dates");
}

/* Those that are named, then those that are drawn; without either the trips' own. */
static void read_skies(sw_reader *reader, const sw_node *root, const sw_study_keys *keys, sw_study *study)
{
    const sw_node *map =
        sw_reader_map(reader, root, "skies", "\"skies\": {\"average\": {\"kind\": \"average\"}}");
    int named = sw_reader_members(map), drawn = keys->draws > 0 ? keys->draws : 0;
    int count = named + drawn > 0 ? named + drawn : 1;
    if (named > SW_SKIES_MAX) {
        sw_reader_error(reader, map, 0, "\"draws\" gives as many skies by chance as are wanted",
                        "a study has at most %d named skies", SW_SKIES_MAX);
        return;
    }
    study->sky = room(reader, count, sizeof *study->sky);
    if (study->sky == NULL)
        return;
    for (const sw_node *node = map != NULL ? map->first : NULL; node != NULL; node = node->next) {
        sw_study_sky *sky = &study->sky[study->skies++];
        sky->name = sw_name_read(reader, node);
        sw_reader_sky(reader, node, sw_reader_text(reader, "study /skies/%s", node->key), &sky->spec);
        check_sky_moves(reader, node, keys->months);
    }
    for (int i = 1; i <= drawn; i++) {
        sw_study_sky *sky = &study->sky[study->skies++];
        sky->spec = (sw_sky_spec){.kind = SW_SKY_CHANCE, .draw = keys->seed * SW_DRAWS_APART + i};
        sky->name = sw_reader_text(reader, "drawn %d", i);
    }
    if (study->skies == 0)
        study->sky[study->skies++] = (sw_study_sky){.name = "its own", .own = 1};
}

static void read_starts(sw_reader *reader, const sw_node *root, sw_study *study)
{
    static const sw_key share = {.name = "start_charges",
                                 .kind = SW_KEY_QUANTITY,
                                 .dimension = SW_DIM_RATIO,
                                 .least = 0.0,
                                 .most = 1.0,
                                 .example = "[\"100 %\", \"70 %\"]",
                                 .says = "charge when the trip begins"};
    const sw_node *list = sw_node_member(root, "start_charges");
    int count = list != NULL ? list_length(reader, list, SW_STARTS_MAX, share.example) : 0;
    study->start = room(reader, SW_STARTS_MAX, sizeof *study->start);
    if (study->start == NULL)
        return;
    for (const sw_node *node = count > 0 ? list->first : NULL; node != NULL; node = node->next)
        sw_value_read(reader, &share, node, (char *)&study->start[study->starts++]);
    if (study->starts == 0)
        study->start[study->starts++] = NAN;
}

void sw_reader_study(sw_reader *reader, const sw_node *root, sw_study *study)
{
    sw_layers layers = {{root}, 1, 0, "study "};
    sw_study_keys keys = {0};
    sw_check_keys(reader, &sw_study_table, root);
    sw_fill(reader, &sw_study_table, &layers, &keys);
    study->name = keys.name;
    study->file = sw_reader_text(reader, "%s", sw_document_name(root->document));
    study->months = keys.months;
    study->hookup_price = keys.hookup_price;
    read_trips(reader, root, study);
    read_choices(reader, root, study);
    read_skies(reader, root, &keys, study);
    read_starts(reader, root, study);
    memcpy(study->currency, reader->currency, sizeof study->currency);
}

// ---- keeping ----

static void release(kept *k)
{
    for (int i = 0; i < k->documents; i++)
        sw_document_free(k->document[i]);
    sw_arena_free(k->arena);
}

void sw_study_free(sw_study *study)
{
    if (study != NULL)
        release(study->owner);
}

/* The documents stay with the study, whose patches are nodes of them. */
static sw_status finish(sw_reader *reader, sw_study *study, sw_study **out)
{
    kept *k = sw_arena_alloc(reader->arena, sizeof *k);
    if (k == NULL)
        sw_reader_no_memory(reader);
    if (reader->failed || study == NULL || k == NULL) {
        for (int i = 0; i < reader->documents; i++)
            sw_document_free(reader->document[i]);
        sw_arena_free(reader->arena);
        sw_status status = sw_messages_status(reader->messages);
        return status != SW_OK ? status : SW_NO_MEMORY;
    }
    k->arena = reader->arena;
    k->documents = reader->documents;
    memcpy(k->document, reader->document, sizeof k->document);
    study->owner = k;
    *out = study;
    return SW_OK;
}

/* @return NULL without memory, after a message */
static sw_study *begin(sw_reader *reader)
{
    reader->arena = sw_arena_create();
    sw_study *study = reader->arena != NULL ? sw_arena_alloc(reader->arena, sizeof *study) : NULL;
    if (study == NULL) {
        sw_arena_free(reader->arena);
        sw_error(reader->messages, SW_NO_MEMORY, NULL, NULL, "there is not enough memory for the study");
    }
    return study;
}

sw_status sw_read_study(const sw_loader *loader, const char *file, sw_messages *messages, sw_study **out)
{
    sw_reader reader = {.loader = loader, .messages = messages};
    sw_study *study = begin(&reader);
    sw_file_kind kind;
    *out = NULL;
    if (study == NULL)
        return SW_NO_MEMORY;
    const sw_node *root = sw_reader_open(&reader, SW_RESOURCE_FILE, file, NULL);
    if (root == NULL || !sw_reader_format(&reader, root, &kind))
        reader.failed = 1;
    else if (kind != SW_FILE_STUDY)
        sw_reader_error(
            &reader, sw_node_member(root, "format"), 0,
            "a study file begins with \"format\": \"stillwatt study 1\"; two vans are compared by "
            "`stillwatt compare VAN VAN --trip TRIP`",
            "this is %s, but a study file is wanted", sw_file_kind_says[kind]);
    else
        sw_reader_study(&reader, root, study);
    return finish(&reader, study, out);
}

// ---- whole vans ----

/* The name of a van is asked of its file alone: the rest is read with the trip. */
static const char *van_name(sw_reader *reader, const char *file)
{
    const sw_node *root = sw_reader_open(reader, SW_RESOURCE_FILE, file, NULL);
    const sw_node *name = sw_node_member(root, "name");
    return name != NULL && name->type == SW_JSON_STRING && sw_text_is_plain(name->text)
               ? sw_reader_text(reader, "%s", name->text)
               : file;
}

/* Two vans of one name are told apart by their files. */
static void tell_apart(sw_study *study)
{
    for (int i = 1; i < study->choices; i++)
        for (int k = 0; k < i; k++)
            if (strcmp(study->choice[i].name, study->choice[k].name) == 0)
                study->choice[i].name = study->choice[i].van_file;
}

sw_status sw_study_of_vans(const sw_loader *loader, char *const *van_file, int vans, const char *trip_file,
                           sw_messages *messages, sw_study **out)
{
    sw_reader reader = {.loader = loader, .messages = messages};
    sw_study *study = begin(&reader);
    *out = NULL;
    if (study == NULL)
        return SW_NO_MEMORY;
    *study = (sw_study){.name = "Which van?",
                        .file = trip_file,
                        .trips = 1,
                        .skies = 1,
                        .starts = 1,
                        .trip = room(&reader, 1, sizeof *study->trip),
                        .choice = room(&reader, vans, sizeof *study->choice),
                        .sky = room(&reader, 1, sizeof *study->sky),
                        .start = room(&reader, 1, sizeof *study->start),
                        .hookup_price = NAN};
    if (study->trip == NULL || study->choice == NULL || study->sky == NULL || study->start == NULL)
        return finish(&reader, study, out);
    study->trip[0] = (sw_study_trip){.file = sw_reader_text(&reader, "%s", trip_file)};
    study->sky[0] = (sw_study_sky){.name = "its own", .own = 1};
    study->start[0] = NAN;
    for (; study->choices < vans; study->choices++)
        study->choice[study->choices] = (sw_choice){.name = van_name(&reader, van_file[study->choices]),
                                                    .price = NAN,
                                                    .labour_s = NAN,
                                                    .mass_kg = NAN,
                                                    .van_file = van_file[study->choices]};
    tell_apart(study);
    return finish(&reader, study, out);
}

// ---- plans ----

sw_status sw_study_plan(const sw_study *study, const sw_loader *loader, int trip, int choice,
                        sw_messages *messages, sw_plan **out)
{
    const sw_choice *c = &study->choice[choice];
    sw_plan_change change = {c->van, c->trip, c->van_file};
    sw_status status = sw_reader_changed_trip(loader, study->trip[trip].file, study->trip[trip].named,
                                              &change, messages, out);
    if (status != SW_OK)
        return status;
    const char *currency = (*out)->van->currency;
    if (currency[0] == '\0' || study->currency[0] == '\0' || strcmp(currency, study->currency) == 0)
        return SW_OK;
    status = sw_error(messages, SW_BAD_INPUT, &c->where, "give all prices in one currency",
                      "the prices of the study are in %s, those of %s in %s", study->currency,
                      (*out)->van->file, currency);
    sw_plan_free(*out);
    *out = NULL;
    return status;
}
