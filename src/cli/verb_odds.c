// odds TRIP: the chance that it holds.
#include "cli/cli.h"

#include "report/svg.h"
#include "stillwatt/reader.h"
#include "study/threads.h"

#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

/* A line that is written over and over, only where somebody looks. */
static void show_progress(void *context, int done, int of)
{
    (void)context;
    fprintf(stderr, "\r%d of %d skies%s", done, of, done == of ? "\r                              \r" : "");
    fflush(stderr);
}

static int print_odds(const options *given, const sw_odds *odds)
{
    char *text = NULL;
    sw_report_style style = terminal_style(given->units);
    sw_status status = given->json ? sw_report_odds_json(odds, &text) : sw_report_odds(odds, &style, &text);
    return print_report(given, status, text);
}

static int draw(const options *given, const sw_odds *odds)
{
    char *text = NULL;
    if (given->chart == NULL)
        return 0;
    sw_status status = sw_report_odds_chart(odds, &text);
    return write_made(given->chart, status, text, "the picture");
}

static int run(const options *given)
{
    const char *file = given->operand[0];
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_odds_ask ask = {
        .width = given->width, .seed = given->seed, .months = given->months || given->chart != NULL};
    sw_plan *plan = NULL;
    sw_odds *odds = NULL;
    int not_drawn = given->chart != NULL ? try_whole(given->chart, SVG_HEAD) : 0;
    if (not_drawn != 0) {
        sw_messages_free(messages);
        return not_drawn;
    }
    if (messages == NULL)
        return complain(4, "there is not enough memory for the odds of %s", file);
    if (isatty(STDERR_FILENO))
        ask.progress = show_progress;
    sw_status status = sw_read_trip(&loader, file, messages, &plan);
    if (status == SW_OK)
        status = sw_find_odds(plan, &loader, given->step_s, &ask, messages, &odds);
    int exit_status = tell(messages, status);
    if (exit_status == 0 && odds != NULL)
        exit_status = print_odds(given, odds);
    if (exit_status == 0 && odds != NULL)
        exit_status = draw(given, odds);
    sw_odds_free(odds);
    sw_plan_free(plan);
    sw_messages_free(messages);
    sw_threads_end();
    return exit_status;
}

static const option own_options[] = {
    {"--width", OPTION_SHARE, offsetof(options, width), "PERCENT",
     "how wide the chance's interval may be (10 %)"},
    {"--months", OPTION_FLAG, offsetof(options, months), NULL, "also in every month of the year"},
    {"--chart", OPTION_TEXT, offsetof(options, chart), "FILE.svg", "also draws the months of the year"},
    {"--seed", OPTION_SEED, offsetof(options, seed), "NUMBER", "another one draws other skies (0)"},
    {"--json", OPTION_FLAG, offsetof(options, json), NULL, "the answer as one JSON document"},
    {"--step", OPTION_STEP, offsetof(options, step_s), "MINUTES", "length of a step, a divisor of 60 (5)"},
};

const verb verb_odds = {"odds",
                        "TRIP",
                        "how likely does it hold? over drawn skies, or the years of a record",
                        own_options,
                        sizeof own_options / sizeof own_options[0],
                        1,
                        1,
                        run};
