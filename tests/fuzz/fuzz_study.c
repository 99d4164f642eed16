// Any bytes as a study file over a plain trip and van: what is read is compared where it is small, its rows
// are read back, and a second run comes to the same.
#include "fuzz/support/data_loader.h"
#include "stillwatt/compare.h"
#include "stillwatt/report.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

static const char van[] =
    "{\"format\": \"stillwatt van 1\", \"name\": \"Plain van\",\n"
    " \"battery\": {\"chemistry\": \"lifepo4\", \"capacity\": \"100 Ah\", \"price\": \"400 USD\"},\n"
    " \"arrays\": {\"roof\": {\"rating\": \"100 W\", \"panels\": 1}}, \"controller\": {\"limit\": \"20 "
    "A\"},\n"
    " \"loads\": {\"lamp\": {\"kind\": \"steady\", \"bus\": \"dc\", \"power\": \"10 W\"}}}\n";
static const char trip[] =
    "{\"format\": \"stillwatt trip 1\", \"name\": \"A night\", \"van\": \"van.json\",\n"
    " \"places\": {\"town\": {\"station\": \"Grand Junction CO\"}},\n"
    " \"legs\": [{\"stay\": \"town\", \"from\": \"2026-11-06 12:00\", \"to\": \"2026-11-07 14:00\"}]}\n";

enum { FILES = 3, CASES_MOST = 60, PLANS_MOST = 40 };

typedef struct folder {
    fuzz_named file[FILES];
    sw_loader data; // stations and zones
} folder;

static sw_status load(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    folder *files = context;
    *out = (sw_text){0};
    for (int i = 0; i < FILES; i++)
        if (strcmp(files->file[i].name, name) == 0)
            return fuzz_found(&files->file[i], out);
    return files->data.load(files->data.context, kind, name, beside, out, reason);
}

/// Rows so far.
typedef struct rows {
    const sw_study *study;
    fuzz_record *record;
    int64_t count;
} rows;

static void check_case(const sw_case *c)
{
    FUZZ_ASSERT(c->own.lowest_soc >= 0.0 && c->own.lowest_soc <= 1.0 && isfinite(c->own.unserved_wh),
                "a case comes to %g and %g Wh", c->own.lowest_soc, c->own.unserved_wh);
    FUZZ_ASSERT(c->nights_held >= 0 && c->nights_held <= c->nights, "%d of %d nights", c->nights_held,
                c->nights);
}

static sw_status take(void *context, const sw_block *block)
{
    rows *r = context;
    char *text = NULL;
    FUZZ_ASSERT(sw_report_rows(r->study, block, &text) == SW_OK, "no memory for rows");
    fuzz_note(r->record, "%s", text);
    char *line = text;
    for (int i = 0; i < block->cases; i++) {
        sw_row row;
        char *end = strstr(line, "\r\n");
        FUZZ_ASSERT(end != NULL && sw_report_row_read(line, (size_t)(end - line), &row), "not read back: %s",
                    line);
        FUZZ_ASSERT(row.number == ++r->count, "row %lld comes as %lld", (long long)row.number,
                    (long long)r->count);
        check_case(&block->of[i]);
        line = end + 2;
    }
    FUZZ_ASSERT(*line == '\0', "more rows than cases");
    free(text);
    return SW_OK;
}

static sw_status compare(const sw_study *study, const sw_loader *loader, sw_messages *messages,
                         fuzz_record *record)
{
    rows r = {study, record, 0};
    sw_compare_ask ask = {.step_s = 3600, .take = take, .context = &r};
    int64_t done = 0;
    if (study->trips * study->choices > PLANS_MOST)
        return SW_OK;
    sw_status status = sw_study_try(study, loader, 3600, 0, messages);
    if (status == SW_OK && sw_study_blocks(study) * sw_study_block_cases(study) <= CASES_MOST) {
        status = sw_compare(study, loader, &ask, messages, &done);
        FUZZ_ASSERT(status != SW_OK || done == sw_study_blocks(study), "it ended early");
    }
    return status;
}

static const sw_status statuses[] = {SW_BAD_INPUT, SW_CANNOT_READ, SW_OUT_OF_RANGE, SW_NO_MEMORY, SW_OK};

static fuzz_record read(const fuzz_text *text)
{
    folder files = {{{"study.json", text->bytes, text->length, 1},
                     {"van.json", (char *)(size_t)van, sizeof van - 1, 1},
                     {"trip.json", (char *)(size_t)trip, sizeof trip - 1, 1}},
                    fuzz_data_loader()};
    sw_loader loader = {load, &files};
    sw_messages *messages = sw_messages_create();
    sw_study *study = NULL;
    fuzz_record record = {NULL, 0, 0};
    FUZZ_ASSERT(messages != NULL, "no memory for messages");
    sw_status status = sw_read_study(&loader, "study.json", messages, &study);
    FUZZ_ASSERT((study != NULL) == (status == SW_OK), "status %d, but %s study", (int)status,
                study != NULL ? "a" : "no");
    if (study != NULL)
        status = compare(study, &loader, messages, &record);
    fuzz_check_said(messages, status, statuses, files.file, FILES, &record);
    sw_study_free(study);
    sw_messages_free(messages);
    return record;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_input input = {data, size};
    fuzz_change change = fuzz_choose_change(&input);
    fuzz_text text = fuzz_piece(&input);
    fuzz_change_text(change, &text);
    fuzz_once_or_twice(&text, text.length < 4000, read);
    return 0;
}
