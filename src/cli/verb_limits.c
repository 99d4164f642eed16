// limits TRIP: what its van can do.
#include "cli/cli.h"

#include "stillwatt/reader.h"

#include <stdlib.h>

static int print_limits(const options *given, const sw_limits *limits)
{
    char *text = NULL;
    sw_report_style style = terminal_style(given->units);
    sw_status status =
        given->json ? sw_report_limits_json(limits, &text) : sw_report_limits(limits, &style, &text);
    return print_report(given, status, text);
}

static int run(const options *given)
{
    const char *file = given->operand[0];
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_plan *plan = NULL;
    sw_rehearsal *rehearsal = NULL;
    sw_limits *limits = NULL;
    if (messages == NULL)
        return complain(4, "there is not enough memory for the limits of %s", file);
    sw_status status = sw_read_trip(&loader, file, messages, &plan);
    if (status == SW_OK)
        status = sw_rehearse(plan, &loader, given->step_s, messages, &rehearsal);
    if (status == SW_OK)
        status = sw_find_limits(rehearsal, messages, &limits);
    int exit_status = tell(messages, status == SW_UNBALANCED ? SW_OK : status);
    if (exit_status == 0 && limits != NULL)
        exit_status = print_limits(given, limits);
    if (exit_status == 0 && status == SW_UNBALANCED && rehearsal != NULL)
        exit_status = complain(5, "internal check: the energy of a step does not balance (off by %.1e)",
                               rehearsal->worst_imbalance);
    sw_limits_free(limits);
    sw_rehearsal_free(rehearsal);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return exit_status;
}

static const option own_options[] = {
    {"--json", OPTION_FLAG, offsetof(options, json), NULL, "the answer as one JSON document"},
    {"--step", OPTION_STEP, offsetof(options, step_s), "MINUTES", "length of a step, a divisor of 60 (5)"},
};

const verb verb_limits = {
    "limits",
    "TRIP",
    "what can the van do? nights without sun, refilling, evening marks, what not to run at once",
    own_options,
    sizeof own_options / sizeof own_options[0],
    1,
    1,
    run};
