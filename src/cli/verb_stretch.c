// stretch TRIP: how long the last stay can be.
#include "cli/cli.h"

#include "stillwatt/reader.h"

#include <stdlib.h>

static int print_stretch(const options *given, const sw_stretched *stretch)
{
    char *text = NULL;
    sw_report_style style = terminal_style(given->units);
    sw_status status =
        given->json ? sw_report_stretch_json(stretch, &text) : sw_report_stretch(stretch, &style, &text);
    return print_report(given, status, text);
}

static int run(const options *given)
{
    const char *file = given->operand[0];
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_plan *plan = NULL;
    sw_stretched *stretch = NULL;
    if (messages == NULL)
        return complain(4, "there is not enough memory to stretch %s", file);
    sw_status status = sw_read_trip(&loader, file, messages, &plan);
    if (status == SW_OK)
        status = sw_find_stretch(plan, &loader, given->step_s, messages, &stretch);
    int exit_status = tell(messages, stretch != NULL ? SW_OK : status);
    if (exit_status == 0 && stretch != NULL)
        exit_status = print_stretch(given, stretch);
    if (exit_status == 0 && status == SW_UNBALANCED)
        exit_status = complain(5, "internal check: the energy of a step does not balance");
    sw_stretch_free(stretch);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return exit_status;
}

static const option own_options[] = {
    {"--json", OPTION_FLAG, offsetof(options, json), NULL, "the answer as one JSON document"},
    {"--step", OPTION_STEP, offsetof(options, step_s), "MINUTES", "length of a step, a divisor of 60 (5)"},
};

const verb verb_stretch = {"stretch",
                           "TRIP",
                           "how long can the last stay be, and what runs out first?",
                           own_options,
                           sizeof own_options / sizeof own_options[0],
                           1,
                           1,
                           run};
