// check FILE...: checks files and lists what was assumed, without running.
#include "cli/cli.h"

#include "report/page.h"
#include "stillwatt/itinerary.h"
#include "stillwatt/reader.h"

#include <limits.h>
#include <stdlib.h>

static const char *const kind_names[] = {"van", "trip", "part"};

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

/* "van.json: a good van file", and what was assumed in it. */
static sw_status answer_text(const options *given, const char *file, sw_file_kind kind, const sw_plan *plan,
                             char **out)
{
    page answer = {0};
    char *assumed = NULL;
    sw_report_style style = terminal_style(given->units);
    sw_page_add(&answer, "%s: a good %s file\n", file, kind_names[kind]);
    sw_status status = plan != NULL ? sw_report_plan(plan, &style, &assumed) : SW_OK;
    if (assumed != NULL)
        sw_page_add(&answer, "%s", assumed);
    free(assumed);
    sw_status whole = sw_growing_take(&answer, out);
    return status != SW_OK ? status : whole;
}

static int print_plan(const options *given, const char *file, sw_file_kind kind, const sw_plan *plan)
{
    char *text = NULL;
    int wrong = answer_text(given, file, kind, plan, &text) == SW_OK
                    ? print(text)
                    : complain(4, "there is not enough memory for the answer on %s", file);
    free(text);
    return wrong;
}

static int check_file(const options *given, const sw_loader *loader, const char *file)
{
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    sw_file_kind kind = SW_FILE_VAN;
    if (messages == NULL)
        return complain(4, "there is not enough memory to check %s", file);
    sw_status status = sw_read_any(loader, file, messages, &kind, &plan);
    if (status == SW_OK && kind == SW_FILE_TRIP)
        status = check_trip(plan, loader, given->step_s, messages);
    int wrong = tell(messages, status);
    if (wrong == 0)
        wrong = print_plan(given, file, kind, plan);
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

const verb verb_check = {"check", "FILE...", "checks van, trip and part files and lists what was assumed",
                         NULL,    0,         1,
                         INT_MAX, run};
