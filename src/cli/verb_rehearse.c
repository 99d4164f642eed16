// rehearse TRIP: the main job.
#include "cli/cli.h"

#include "stillwatt/reader.h"

#include <stdlib.h>

static int write_ledger(const options *given, const sw_rehearsal *r)
{
    char *text = NULL;
    if (given->ledger == NULL)
        return 0;
    sw_status status = sw_report_ledger(r, &text);
    return write_made(given->ledger, status, text, "the ledger");
}

static int draw_tide(const options *given, const sw_rehearsal *r)
{
    char *text = NULL;
    if (given->chart == NULL)
        return 0;
    sw_status status = sw_report_tide(r, &text);
    return write_made(given->chart, status, text, "the picture");
}

static int print_rehearsal(const options *given, const sw_rehearsal *r)
{
    char *text = NULL;
    sw_report_style style = terminal_style(given->units);
    sw_status status = given->json ? sw_report_json(r, &text) : sw_report_text(r, &style, &text);
    return print_report(given, status, text);
}

/* A bare `holds` is never true of an average sky: the poor week counts too. */
static int judge(const options *given, const sw_rehearsal *r)
{
    int worst = (int)r->outcome.verdict;
    if (r->has_poor && (int)r->poor.verdict > worst)
        worst = (int)r->poor.verdict;
    return given->required >= 0 && worst > given->required ? 1 : 0;
}

static int answer(const options *given, const sw_rehearsal *r, sw_status balance)
{
    int wrong = write_ledger(given, r);
    if (wrong == 0)
        wrong = draw_tide(given, r);
    if (wrong == 0)
        wrong = print_rehearsal(given, r);
    if (wrong == 0 && balance == SW_UNBALANCED)
        wrong = complain(
            5,
            "internal check: the energy of a step does not balance (off by %.1e); do not trust this answer",
            r->worst_imbalance);
    return wrong != 0 ? wrong : judge(given, r);
}

int rehearse_file(const options *given, const char *file)
{
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_plan *plan = NULL;
    sw_rehearsal *rehearsal = NULL;
    if (messages == NULL)
        return complain(4, "there is not enough memory to rehearse %s", file);
    sw_status status = sw_read_trip(&loader, file, messages, &plan);
    if (status == SW_OK)
        status = sw_rehearse(plan, &loader, given->step_s, messages, &rehearsal);
    int exit_status = tell(messages, rehearsal != NULL ? SW_OK : status);
    if (exit_status == 0 && rehearsal != NULL)
        exit_status = answer(given, rehearsal, status);
    sw_rehearsal_free(rehearsal);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return exit_status;
}

static int run(const options *given)
{
    return rehearse_file(given, given->operand[0]);
}

static const option own_options[] = {
    {"--ledger", OPTION_TEXT, offsetof(options, ledger), "FILE.csv", "also writes the hour-by-hour account"},
    {"--chart", OPTION_TEXT, offsetof(options, chart), "FILE.svg", "also draws the tide of the charge"},
    {"--json", OPTION_FLAG, offsetof(options, json), NULL, "the answer as one JSON document"},
    {"--step", OPTION_STEP, offsetof(options, step_s), "MINUTES", "length of a step, a divisor of 60 (5)"},
    {"--require", OPTION_VERDICT, offsetof(options, required), "VERDICT",
     "exit with 1 if the verdict is worse: holds, tight, under or out"},
};

const verb verb_rehearse = {"rehearse",
                            "TRIP",
                            "does the system survive the trip? which day is tight, and why?",
                            own_options,
                            sizeof own_options / sizeof own_options[0],
                            1,
                            1,
                            run};
