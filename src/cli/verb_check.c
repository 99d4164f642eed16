// check FILE...: checks files and lists what was assumed, without running.
#include "cli/cli.h"

#include "stillwatt/itinerary.h"
#include "stillwatt/reader.h"

#include <stdio.h>
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

static int print_plan(const options *given, const char *file, sw_file_kind kind, const sw_plan *plan)
{
    char *text = NULL;
    sw_report_style style = terminal_style(given->units);
    printf("%s: a good %s file\n", file, kind_names[kind]);
    if (plan == NULL)
        return 0;
    if (sw_report_plan(plan, &style, &text) != SW_OK)
        return complain(4, "there is not enough memory for the answer");
    int wrong = print(text);
    free(text);
    return wrong;
}

static int check_file(const options *given, const sw_loader *loader, const char *file)
{
    sw_messages *messages = sw_messages_create();
    sw_plan *plan = NULL;
    sw_file_kind kind = SW_FILE_VAN;
    if (messages == NULL)
        return complain(4, "there is not enough memory");
    sw_status status = sw_read_any(loader, file, messages, &kind, &plan);
    if (status == SW_OK && kind == SW_FILE_TRIP)
        status = check_trip(plan, loader, given->step_s, messages);
    int exit_status = tell(messages);
    if (status == SW_OK)
        exit_status = print_plan(given, file, kind, plan);
    else if (exit_status == 0)
        exit_status = sw_status_exit(status);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return exit_status;
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
    "check",      "FILE...", "checks van, trip and part files and lists what was assumed", NULL, 0, 1,
    OPERANDS_MAX, run};
