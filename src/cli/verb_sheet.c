// sheet TRIP: the page to hand over.
#include "cli/cli.h"

#include "stillwatt/reader.h"
#include "stillwatt/sheet.h"

#include <stdlib.h>
#include <string.h>
#include <time.h>

#define INPUTS_MOST 100

/// A loader that keeps the van, trip and part files, and sums up all that it loads.
typedef struct keeping {
    sw_loader from;
    sw_fingerprint sum;
    int inputs;
    sw_text input[INPUTS_MOST];
} keeping;

static int is_kept(const keeping *k, const char *name)
{
    for (int i = 0; i < k->inputs; i++)
        if (strcmp(k->input[i].name, name) == 0)
            return 1;
    return 0;
}

/* Files of weather are too large for a page: their sum has to do. */
static int is_own(sw_resource kind, const sw_text *text)
{
    size_t length = strlen(text->name);
    return (kind == SW_RESOURCE_FILE || kind == SW_RESOURCE_PART) && length > 5 &&
           strcmp(text->name + length - 5, ".json") == 0;
}

static sw_status keep(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    keeping *k = context;
    sw_loader summing = sw_fingerprint_loader(&k->sum);
    sw_status status = summing.load(summing.context, kind, name, beside, out, reason);
    if (status != SW_OK || !is_own(kind, out) || k->inputs == INPUTS_MOST || is_kept(k, out->name))
        return status;
    sw_text copy = {strdup(out->bytes), out->length, strdup(out->name), 0};
    if (copy.bytes == NULL || copy.name == NULL) {
        sw_text_free(&copy);
        return status;
    }
    k->input[k->inputs++] = copy;
    return status;
}

static void forget(keeping *k)
{
    for (int i = 0; i < k->inputs; i++)
        sw_text_free(&k->input[i]);
}

static const char *today(char text[16])
{
    time_t now = time(NULL);
    struct tm local;
    if (localtime_r(&now, &local) == NULL || strftime(text, 16, "%Y-%m-%d", &local) == 0)
        strcpy(text, "?");
    return text;
}

/// All that a page stands on.
typedef struct findings {
    sw_plan *plan;
    sw_rehearsal *rehearsal;
    sw_sky_days *sky;
    sw_limits *limits;
    sw_stretched *stretch;
    sw_remedies *remedies;
} findings;

/* Only the rehearsal is needed: a trip without a stay has no stretch, one of an hour no limits. */
static sw_status find(const options *given, const char *file, const sw_loader *loader, sw_messages *messages,
                      findings *f)
{
    sw_messages *aside = sw_messages_create();
    sw_status status = aside != NULL ? sw_read_trip(loader, file, messages, &f->plan) : SW_NO_MEMORY;
    if (status == SW_OK)
        status = sw_rehearse(f->plan, loader, given->step_s, messages, &f->rehearsal);
    if (status == SW_OK)
        status = sw_find_remedies(f->rehearsal, loader, given->step_s, aside, &f->remedies);
    if (status == SW_OK) {
        (void)sw_sky_days_make(f->plan, loader, given->step_s, aside, &f->sky);
        (void)sw_find_limits(f->rehearsal, aside, &f->limits);
        (void)sw_find_stretch(f->plan, loader, given->step_s, aside, &f->stretch);
    }
    sw_messages_free(aside);
    return status;
}

static void release(findings *f)
{
    sw_remedies_free(f->remedies);
    sw_stretch_free(f->stretch);
    sw_limits_free(f->limits);
    sw_sky_days_free(f->sky);
    sw_rehearsal_free(f->rehearsal);
    sw_plan_free(f->plan);
}

static int hand_over(const options *given, const findings *f, const keeping *k)
{
    char date[16], *text = NULL;
    sw_sheet sheet = {.rehearsal = f->rehearsal,
                      .sky = f->sky,
                      .limits = f->limits,
                      .stretch = f->stretch,
                      .remedies = f->remedies,
                      .units = given->units,
                      .imprint = {STILLWATT_VERSION, given->made != NULL ? given->made : today(date),
                                  given->builder, k->sum.sum, k->inputs, k->input}};
    sw_status status = sw_report_sheet(&sheet, &text);
    if (given->out != NULL)
        return write_made(given->out, status, text, "the page");
    return print_report(given, status, text);
}

static int run(const options *given)
{
    keeping k = {.from = sw_disk_loader(data_folder(given))};
    sw_fingerprint_begin(&k.sum, &k.from);
    sw_loader loader = {keep, &k};
    sw_messages *messages = sw_messages_create();
    findings f = {0};
    if (messages == NULL)
        return complain(4, "there is not enough memory for the page of %s", given->operand[0]);
    sw_status status = find(given, given->operand[0], &loader, messages, &f);
    int exit_status = tell(messages, status);
    if (exit_status == 0)
        exit_status = hand_over(given, &f, &k);
    release(&f);
    forget(&k);
    sw_messages_free(messages);
    return exit_status;
}

static const option own_options[] = {
    {"--out", OPTION_TEXT, offsetof(options, out), "FILE.html",
     "writes the page there instead of to the terminal"},
    {"--builder", OPTION_TEXT, offsetof(options, builder), "TEXT",
     "who built the van, and the telephone number, for the foot"},
    {"--made", OPTION_TEXT, offsetof(options, made), "DATE", "the date at the foot (today)"},
    {"--step", OPTION_STEP, offsetof(options, step_s), "MINUTES", "length of a step, a divisor of 60 (5)"},
};

const verb verb_sheet = {
    "sheet",
    "TRIP",
    "the page to hand over: verdict, chart, what to mind each day; to print or to open on a phone",
    own_options,
    sizeof own_options / sizeof own_options[0],
    1,
    1,
    run};
