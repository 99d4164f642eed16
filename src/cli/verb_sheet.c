// sheet TRIP, sheet VAN: the page to hand over, the card for the cupboard door.
#include "cli/cli.h"

#include "stillwatt/reader.h"
#include "stillwatt/sheet.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

/// A loader that keeps the van, trip and part files, and sums up all that it loads, each file once: how often
/// one is asked for is nobody's business.
typedef struct keeping {
    sw_loader from;
    const char *file, *data; // named by the user; where parts are looked for
    sw_fingerprint sum;
    int seen;
    char **name; // of all files
    int inputs;
    sw_text *input;
} keeping;

/* Makes room for one more in a list, which doubles. @return the list, NULL without memory: the old one stays
 */
static void *room(void *list, int count, size_t size)
{
    int is_full = (count & (count - 1)) == 0; // none, or a power of two
    return is_full ? realloc(list, (size_t)(count > 0 ? 2 * count : 1) * size) : list;
}

static int is_seen(const keeping *k, const char *name)
{
    for (int i = 0; i < k->seen; i++)
        if (strcmp(k->name[i], name) == 0)
            return 1;
    return 0;
}

static sw_status no_memory(sw_text *out, char *reason)
{
    sw_text_free(out);
    snprintf(reason, 160, "there is not enough memory");
    return SW_NO_MEMORY;
}

/* Files of weather are too large for a page: their sum has to do. */
static int is_own(sw_resource kind, const sw_text *text)
{
    size_t length = strlen(text->name);
    return (kind == SW_RESOURCE_FILE || kind == SW_RESOURCE_PART) && length > 5 &&
           strcmp(text->name + length - 5, ".json") == 0;
}

/* As builder and client find it: parts from the data folder on, other files from the folder of the first.
   Where a builder keeps them is nobody's business. */
static const char *shown_name(const keeping *k, sw_resource kind, const char *name)
{
    const char *folder = kind == SW_RESOURCE_PART ? k->data : k->file, *slash = strrchr(k->file, '/');
    const char *end = kind == SW_RESOURCE_PART ? folder + strlen(folder) : slash != NULL ? slash : folder;
    size_t length = (size_t)(end - folder);
    return length > 0 && strncmp(name, folder, length) == 0 && name[length] == '/' ? name + length + 1 : name;
}

/* @return 0 without memory */
static int keep_name(keeping *k, const char *name)
{
    char **list = room(k->name, k->seen, sizeof *list), *copy = list != NULL ? strdup(name) : NULL;
    if (list != NULL)
        k->name = list;
    if (copy != NULL)
        k->name[k->seen++] = copy;
    return copy != NULL;
}

static int keep_input(keeping *k, const char *name, const sw_text *text)
{
    sw_text *list = room(k->input, k->inputs, sizeof *list);
    if (list == NULL)
        return 0;
    sw_text copy = {strdup(text->bytes), text->length, strdup(name), 0};
    int is_whole = copy.bytes != NULL && copy.name != NULL;
    k->input = list;
    if (is_whole)
        k->input[k->inputs++] = copy;
    else
        sw_text_free(&copy);
    return is_whole;
}

static sw_status keep(void *context, sw_resource kind, const char *name, const char *beside, sw_text *out,
                      char *reason)
{
    keeping *k = context;
    sw_status status = k->from.load(k->from.context, kind, name, beside, out, reason);
    if (status != SW_OK || is_seen(k, out->name))
        return status;
    if (!keep_name(k, out->name))
        return no_memory(out, reason);
    sw_fingerprint_add(&k->sum, out->bytes, out->length);
    if (is_own(kind, out) && !keep_input(k, shown_name(k, kind, out->name), out))
        return no_memory(out, reason);
    return SW_OK;
}

static void forget(keeping *k)
{
    while (k->seen > 0)
        free(k->name[--k->seen]);
    for (int i = 0; i < k->inputs; i++)
        sw_text_free(&k->input[i]);
    free(k->name);
    free(k->input);
}

static const char *today(char text[16])
{
    time_t now = time(NULL);
    struct tm local;
    if (localtime_r(&now, &local) == NULL || strftime(text, 16, "%Y-%m-%d", &local) == 0)
        snprintf(text, 16, "?");
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

/* A trip without a stay has no stretch, one of an hour no limits; want of memory or of a file is none of the
   trip's. */
static sw_status may_be_missing(sw_status status)
{
    return status == SW_BAD_INPUT || status == SW_OUT_OF_RANGE ? SW_OK : status;
}

/// Where pieces come from, and how what is wrong with them is told.
typedef struct search {
    const sw_loader *loader;
    int32_t step_s;
    sw_messages *messages;
    findings *f;
} search;

static sw_status find_sky(const search *s, sw_messages *aside)
{
    return sw_sky_days_make(s->f->plan, s->loader, s->step_s, aside, &s->f->sky);
}

static sw_status find_limits(const search *s, sw_messages *aside)
{
    return sw_find_limits(s->f->rehearsal, aside, &s->f->limits);
}

static sw_status find_stretch(const search *s, sw_messages *aside)
{
    return sw_find_stretch(s->f->plan, s->loader, s->step_s, aside, &s->f->stretch);
}

/* A piece that the trip does not have is not told; its warnings are those of the rehearsal. */
static sw_status find_piece(const search *s, sw_status (*finds)(const search *s, sw_messages *aside))
{
    sw_messages *aside = sw_messages_create();
    sw_status status = aside != NULL ? may_be_missing(finds(s, aside)) : SW_NO_MEMORY;
    if (status != SW_OK && aside != NULL)
        (void)sw_messages_repeat_errors(aside, s->messages);
    sw_messages_free(aside);
    return status;
}

static sw_status find(const options *given, const char *file, const sw_loader *loader, sw_messages *messages,
                      findings *f)
{
    search s = {loader, given->step_s, messages, f};
    sw_status status = sw_read_trip(loader, file, messages, &f->plan);
    if (status == SW_OK)
        status = sw_rehearse(f->plan, loader, given->step_s, messages, &f->rehearsal);
    if (status == SW_OK)
        status = sw_find_remedies(f->rehearsal, loader, given->step_s, messages, &f->remedies);
    if (status == SW_OK)
        status = find_piece(&s, find_sky);
    if (status == SW_OK)
        status = find_piece(&s, find_limits);
    if (status == SW_OK)
        status = find_piece(&s, find_stretch);
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

static sw_imprint imprint_of(const options *given, const keeping *k, char date[16])
{
    return (sw_imprint){STILLWATT_VERSION, given->made != NULL ? given->made : today(date),
                        given->builder,    k->sum.sum,
                        k->inputs,         k->input};
}

static int hand_over(const options *given, sw_status status, char *text)
{
    if (given->out != NULL)
        return write_made(given->out, status, text, "the page");
    return print_report(given, status, text);
}

static int make_sheet(const options *given, const sw_loader *loader, const keeping *k, sw_messages *messages)
{
    char date[16], *text = NULL;
    findings f = {0};
    int wrong = tell(messages, find(given, given->operand[0], loader, messages, &f));
    if (wrong == 0) {
        sw_sheet sheet = {.rehearsal = f.rehearsal,
                          .sky = f.sky,
                          .limits = f.limits,
                          .stretch = f.stretch,
                          .remedies = f.remedies,
                          .units = given->units,
                          .imprint = imprint_of(given, k, date)};
        sw_status status = sw_report_sheet(&sheet, &text);
        wrong = hand_over(given, status, text);
    }
    release(&f);
    return wrong;
}

static int make_card(const options *given, const sw_loader *loader, const keeping *k, sw_messages *messages)
{
    char date[16], *text = NULL;
    sw_card *card = NULL;
    if (given->station == NULL)
        return complain(
            2, "the card of a van is for a place: add --station NAME, as in --station \"Grand Junction CO\"");
    int wrong = tell(messages,
                     sw_find_card(loader, given->operand[0], given->station, given->step_s, messages, &card));
    if (wrong == 0) {
        sw_imprint imprint = imprint_of(given, k, date);
        sw_status status = sw_report_card(card, given->units, &imprint, &text);
        wrong = hand_over(given, status, text);
    }
    sw_card_free(card);
    return wrong;
}

/* What kind of file it is, by reading it aside: what is wrong in it is told by who uses it.
   @return 0 or the exit status after a message */
static int find_kind(const char *file, const sw_loader *loader, sw_file_kind *kind)
{
    sw_messages *aside = sw_messages_create();
    sw_plan *plan = NULL;
    if (aside == NULL)
        return complain(4, "there is not enough memory for the page of %s", file);
    sw_status status = may_be_missing(sw_read_any(loader, file, aside, kind, &plan));
    int wrong = status != SW_OK ? tell(aside, status) : 0;
    sw_plan_free(plan);
    sw_messages_free(aside);
    return wrong;
}

static int run(const options *given)
{
    keeping k = {
        .from = sw_disk_loader(data_folder(given)), .file = given->operand[0], .data = data_folder(given)};
    sw_fingerprint_begin(&k.sum, &k.from);
    sw_loader loader = {keep, &k};
    sw_messages *messages = sw_messages_create();
    sw_file_kind kind = SW_FILE_TRIP;
    int wrong = messages != NULL
                    ? find_kind(given->operand[0], &k.from, &kind)
                    : complain(4, "there is not enough memory for the page of %s", given->operand[0]);
    if (wrong == 0 && kind == SW_FILE_TRIP && given->station != NULL)
        wrong = complain(2, "--station is for the card of a van; the places of %s have theirs",
                         given->operand[0]);
    if (wrong == 0)
        wrong = kind == SW_FILE_VAN ? make_card(given, &loader, &k, messages)
                                    : make_sheet(given, &loader, &k, messages);
    forget(&k);
    sw_messages_free(messages);
    return wrong;
}

static const option own_options[] = {
    {"--out", OPTION_TEXT, offsetof(options, out), "FILE.html",
     "writes the page there instead of to the terminal"},
    {"--station", OPTION_TEXT, offsetof(options, station), "NAME",
     "of a van: the weather station that its card is for"},
    {"--builder", OPTION_TEXT, offsetof(options, builder), "TEXT",
     "who built the van, and the telephone number, for the foot"},
    {"--made", OPTION_TEXT, offsetof(options, made), "DATE", "the date at the foot (today)"},
    {"--step", OPTION_STEP, offsetof(options, step_s), "MINUTES", "length of a step, a divisor of 60 (5)"},
};

const verb verb_sheet = {"sheet",
                         "TRIP|VAN",
                         "a page to hand over, to print or to open on a phone: of a trip, or the card of a "
                         "van for its cupboard door",
                         own_options,
                         sizeof own_options / sizeof own_options[0],
                         1,
                         1,
                         run};
