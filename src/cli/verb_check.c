// check FILE...: checks files, lists what was assumed and weighs it in the trip.
#include "cli/cli.h"

#include "report/page.h"
#include "stillwatt/compare.h"
#include "stillwatt/itinerary.h"
#include "stillwatt/reader.h"
#include "stillwatt/rehearsal.h"
#include "stillwatt/tally.h"

#include <limits.h>
#include <stdlib.h>

static const char *const kind_names[] = {"van", "trip", "part", "study"};

/* A trip is checked as far as its places, zones and legs. */
static sw_status check_trip(const sw_plan *plan, const sw_loader *loader, int32_t step_s,
                            sw_messages *messages)
{
    sw_itinerary *it = NULL;
    sw_status status = sw_itinerary_make(plan, loader, step_s, messages, &it);
    if (status == SW_OK)
        sw_itinerary_free(it);
    return status;
}

/* A study is checked with all its trips, changed by all its choices. */
static sw_status check_study(const char *file, const sw_loader *loader, int32_t step_s, sw_messages *messages)
{
    sw_study *study = NULL;
    sw_tally *costs = NULL;
    sw_status status = sw_read_study(loader, file, messages, &study);
    if (status == SW_OK)
        status = sw_study_try(study, loader, step_s, 0, messages);
    if (status == SW_OK)
        status = sw_tally_make(study, loader, messages, &costs);
    sw_tally_free(costs);
    sw_study_free(study);
    return status;
}

/* Rehearses the trip and weighs what was assumed. Its warnings are left to `rehearse`, as is a weather record
   that is not there: nothing is weighed then. */
static sw_status weigh_trip(const sw_plan *plan, const sw_loader *loader, int32_t step_s,
                            sw_messages *messages, sw_rehearsal **out)
{
    sw_messages *own = sw_messages_create();
    sw_status status = own != NULL ? sw_rehearse(plan, loader, step_s, own, out) : SW_NO_MEMORY;
    if (status == SW_OK)
        status = sw_weigh_rest(*out, loader, own);
    if (status != SW_OK && (status == SW_NO_MEMORY || plan->trip->sky.kind != SW_SKY_HOURLY))
        (void)sw_messages_repeat_errors(own, messages);
    else
        status = SW_OK;
    sw_messages_free(own);
    return status;
}

/* "van.json: a good van file", what was assumed in it, and what of that weighs most. */
static sw_status answer_text(const options *given, const char *file, sw_file_kind kind, const sw_plan *plan,
                             const sw_rehearsal *r, char **out)
{
    page answer = {0};
    char *assumed = NULL, *heaviest = NULL;
    sw_report_style style = terminal_style(given->units);
    sw_page_add(&answer, "%s: a good %s file\n", file, kind_names[kind]);
    sw_status status = plan != NULL ? sw_report_plan(plan, &style, &assumed) : SW_OK;
    if (status == SW_OK && r != NULL)
        status = sw_report_weights(r, &style, &heaviest);
    if (status == SW_OK)
        sw_page_add(&answer, "%s%s", assumed != NULL ? assumed : "", heaviest != NULL ? heaviest : "");
    free(assumed);
    free(heaviest);
    sw_status whole = sw_growing_take(&answer, out);
    return status != SW_OK ? status : whole;
}

static int print_plan(const options *given, const char *file, sw_file_kind kind, const sw_plan *plan,
                      const sw_rehearsal *r)
{
    char *text = NULL;
    int wrong = answer_text(given, file, kind, plan, r, &text) == SW_OK
                    ? print(text)
                    : complain(4, "there is not enough memory for the answer on %s", file);
    free(text);
    return wrong;
}

static int check_file(const options *given, const sw_loader *loader, const char *file)
{
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    sw_rehearsal *r = NULL;
    sw_file_kind kind = SW_FILE_VAN;
    if (messages == NULL)
        return complain(4, "there is not enough memory to check %s", file);
    sw_status status = sw_read_any(loader, file, messages, &kind, &plan);
    if (status == SW_OK && kind == SW_FILE_STUDY)
        status = check_study(file, loader, given->step_s, messages);
    if (status == SW_OK && kind == SW_FILE_TRIP)
        status = check_trip(plan, loader, given->step_s, messages);
    if (status == SW_OK && kind == SW_FILE_TRIP)
        status = weigh_trip(plan, loader, given->step_s, messages, &r);
    int wrong = tell(messages, status);
    if (wrong == 0)
        wrong = print_plan(given, file, kind, plan, r);
    sw_rehearsal_free(r);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return wrong;
}

/* All files are checked; the first wrong one decides the exit status. */
static int run(const options *given)
{
    sw_loader loader = sw_disk_loader(data_folder(given));
    int first = 0;
    for (int i = 0; i < given->operands; i++) {
        int wrong = check_file(given, &loader, given->operand[i]);
        first = first != 0 ? first : wrong;
    }
    return first;
}

const verb verb_check = {
    "check", "FILE...", "checks van, trip, part and study files, and lists and weighs what was assumed",
    NULL,    0,         1,
    INT_MAX, run};
