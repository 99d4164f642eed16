#include "fuzz/support/read_files.h"

#include "fuzz/support/data_loader.h"
#include "fuzz/support/plan_walk.h"
#include "stillwatt/itinerary.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// What is found as van.json and part.json where the input brings none of its own.
static const char good_van[] =
    "{\"format\": \"stillwatt van 1\", \"name\": \"Plain van\",\n"
    " \"battery\": {\"chemistry\": \"lifepo4\", \"capacity\": \"100 Ah\"},\n"
    " \"loads\": {\"lamp\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"10 W\"}}}\n";
static const char good_part[] =
    "{\"format\": \"stillwatt part 1\", \"name\": \"Unit\", \"kind\": \"inverter\",\n"
    " \"is\": {\"rating\": \"1000 W\", \"idle\": \"8 W\"}}\n";

enum { FILES = 3 };
enum failure { NEVER, NO_MEMORY, UNREADABLE, UNREADABLE_WITHOUT_A_NAME, FAILURES };

typedef struct folder {
    fuzz_named file[FILES];
    enum failure failure;
    unsigned good_loads; // before the failure
    unsigned loads;
    sw_loader data; // stations and zones
} folder;

static sw_status load(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    folder *files = context;
    *out = (sw_text){0};
    int fails = files->failure != NEVER && files->loads++ >= files->good_loads;
    for (int i = 0; i < FILES && !fails; i++)
        if (strcmp(files->file[i].name, name) == 0)
            return fuzz_found(&files->file[i], out);
    if (!fails && kind != SW_RESOURCE_FILE && kind != SW_RESOURCE_PART)
        return files->data.load(files->data.context, kind, name, beside, out, reason);
    snprintf(reason, 160, "%s", fails ? "the disk is on strike" : "there is no such file");
    if (!fails || files->failure != UNREADABLE_WITHOUT_A_NAME)
        out->name = fuzz_text_of(name, strlen(name)).bytes;
    return fails && files->failure == NO_MEMORY ? SW_NO_MEMORY : SW_CANNOT_READ;
}

static sw_status read_by(sw_file_kind kind, int as_any, const sw_loader *loader, sw_messages *messages,
                         sw_file_kind *found_kind, sw_plan **plan)
{
    *found_kind = kind;
    if (as_any || kind == SW_FILE_PART)
        return sw_read_any(loader, "file.json", messages, found_kind, plan);
    return (kind == SW_FILE_VAN ? sw_read_van : sw_read_trip)(loader, "file.json", messages, plan);
}

static const sw_status statuses[] = {SW_BAD_INPUT, SW_CANNOT_READ, SW_NO_MEMORY, SW_OK};

// Legs, days and stretches follow each other without a gap, from the beginning to the end.
static void check_itinerary(const sw_itinerary *trip, fuzz_record *record)
{
    FUZZ_ASSERT(trip->spans > 0 && trip->days > 0 && trip->stretches > 0 && trip->end_s > trip->start_s,
                "an itinerary of nothing");
    for (int i = 0; i < trip->spans; i++) {
        const sw_span *span = &trip->span[i];
        fuzz_note(record, "%lld %lld %a %a\n", (long long)span->start_s, (long long)span->end_s,
                  span->bearing_deg, span->speed_m_s);
        FUZZ_ASSERT(span->start_s == (i == 0 ? trip->start_s : span[-1].end_s) && span->end_s > span->start_s,
                    "leg %d does not follow", i);
        FUZZ_ASSERT(span->speed_m_s >= 0 && span->speed_m_s <= 150 / 3.6 + 1e-9, "leg %d goes at %g m/s", i,
                    span->speed_m_s);
    }
    FUZZ_ASSERT(trip->span[trip->spans - 1].end_s == trip->end_s, "the last leg ends early");
    for (int i = 0; i < trip->days; i++)
        FUZZ_ASSERT(trip->day[i].start_s == (i == 0 ? trip->start_s : trip->day[i - 1].end_s) &&
                        trip->day[i].end_s > trip->day[i].start_s,
                    "day %d does not follow", i);
    FUZZ_ASSERT(trip->day[trip->days - 1].end_s == trip->end_s, "the last day ends early");
    for (int i = 0; i < trip->stretches; i++)
        FUZZ_ASSERT(trip->stretch[i].start_s == (i == 0 ? trip->start_s : trip->stretch[i - 1].end_s),
                    "stretch %d does not follow", i);
    FUZZ_ASSERT(trip->stretch[trip->stretches - 1].end_s == trip->end_s, "the last stretch ends early");
}

static void resolve(const sw_plan *plan, const sw_loader *loader, const folder *files, fuzz_record *record)
{
    sw_messages *messages = sw_messages_create();
    sw_itinerary *itinerary = NULL;
    sw_status status = sw_itinerary_make(plan, loader, 300, messages, &itinerary);
    fuzz_check_said(messages, status, statuses, files->file, FILES, record);
    FUZZ_ASSERT((itinerary != NULL) == (status == SW_OK), "status %d, but %s itinerary", (int)status,
                itinerary != NULL ? "an" : "no");
    if (itinerary != NULL)
        check_itinerary(itinerary, record);
    sw_itinerary_free(itinerary);
    sw_messages_free(messages);
}

static fuzz_record read_once(sw_file_kind kind, int as_any, folder files)
{
    static int nowhere;
    sw_loader loader = {load, &files};
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = (sw_plan *)(void *)&nowhere;
    sw_file_kind found_kind;
    fuzz_record record = {NULL, 0, 0};
    FUZZ_ASSERT(messages != NULL, "no memory for messages");
    sw_status status = read_by(kind, as_any, &loader, messages, &found_kind, &plan);
    fuzz_check_said(messages, status, statuses, files.file, FILES, &record);
    FUZZ_ASSERT((plan != NULL) ==
                    (status == SW_OK && found_kind != SW_FILE_PART && found_kind != SW_FILE_STUDY),
                "status %d, but %s plan", (int)status, plan != NULL ? "a" : "no");
    if (plan != NULL) {
        FUZZ_ASSERT((plan->trip != NULL) == (found_kind == SW_FILE_TRIP), "a trip in a van's plan, or none");
        fuzz_check_plan(plan, &record);
        if (plan->trip != NULL)
            resolve(plan, &loader, &files, &record);
    }
    sw_plan_free(plan);
    sw_messages_free(messages);
    return record;
}

static fuzz_text piece_or(fuzz_input *input, const char *otherwise)
{
    return input->left > 0 ? fuzz_piece(input) : fuzz_text_of(otherwise, strlen(otherwise));
}

void fuzz_read_files(sw_file_kind kind, fuzz_input *input)
{
    fuzz_change change = fuzz_choose_change(input);
    folder files = {.failure = (enum failure)fuzz_choose(input, FAILURES), .data = fuzz_data_loader()};
    files.good_loads = fuzz_choose(input, 4);
    int as_any = (int)fuzz_choose(input, 2);
    fuzz_text text = fuzz_piece(input);
    fuzz_text van = piece_or(input, good_van), part = piece_or(input, good_part);
    fuzz_change_text(change, &text);
    files.file[0] = (fuzz_named){"file.json", text.bytes, text.length, 1};
    files.file[1] = (fuzz_named){"van.json", van.bytes, van.length, 1};
    files.file[2] = (fuzz_named){"part.json", part.bytes, part.length, 1};
    fuzz_record first = read_once(kind, as_any, files), second = read_once(kind, as_any, files);
    fuzz_same(&first, &second);
    fuzz_text_free(&text);
    fuzz_text_free(&van);
    fuzz_text_free(&part);
}
