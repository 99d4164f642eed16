// sky TRIP: the weather of a trip day by day. sky convert FILE OUT.csv: a weather file as our own CSV.
#include "cli/cli.h"

#include "stillwatt/reader.h"
#include "stillwatt/series.h"
#include "stillwatt/sky_days.h"

#include <stdlib.h>
#include <string.h>

// ---- show ----

static int answer(const options *given, const sw_sky_days *days)
{
    char *text = NULL, *chart = NULL;
    sw_report_style style = terminal_style(given->units);
    if (given->chart != NULL && sw_report_sky_chart(days, given->units, &chart) != SW_OK)
        return complain(4, "there is not enough memory for the picture");
    int wrong = chart != NULL ? write_whole(given->chart, chart) : 0;
    free(chart);
    if (wrong != 0)
        return wrong;
    if (sw_report_sky(days, &style, &text) != SW_OK)
        return complain(4, "there is not enough memory for the answer");
    wrong = print(text);
    free(text);
    return wrong;
}

static int show(const options *given, const char *file)
{
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_plan *plan = NULL;
    sw_sky_days *days = NULL;
    if (messages == NULL)
        return complain(4, "there is not enough memory to look at %s", file);
    sw_status status = sw_read_trip(&loader, file, messages, &plan);
    if (status == SW_OK)
        status = sw_sky_days_make(plan, &loader, given->step_s, messages, &days);
    int wrong = tell(messages, status);
    if (wrong == 0)
        wrong = answer(given, days);
    sw_sky_days_free(days);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return wrong;
}

// ---- convert ----

static int convert(const options *given, const char *from, const char *to)
{
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_text text = {NULL};
    sw_series *series = NULL;
    char reason[200] = "", *csv = NULL;
    if (messages == NULL)
        return complain(4, "there is not enough memory to read %s", from);
    if (loader.load(loader.context, SW_RESOURCE_FILE, from, NULL, &text, reason) != SW_OK) {
        sw_text_free(&text);
        sw_messages_free(messages);
        return complain(4, "%s could not be read: %s", from, reason);
    }
    sw_status status = sw_weather_read(text.bytes, text.length, from, messages, &series);
    int wrong = tell(messages, status);
    if (wrong == 0 && sw_plain_csv_write(series, &csv) != SW_OK)
        wrong = complain(4, "there is not enough memory for the rows of %s", from);
    if (wrong == 0)
        wrong = write_whole(to, csv);
    free(csv);
    sw_series_free(series);
    sw_text_free(&text);
    sw_messages_free(messages);
    return wrong;
}

static int run(const options *given)
{
    if (strcmp(given->operand[0], "convert") == 0) {
        if (given->operands != 3)
            return complain(2, "use: stillwatt sky convert FILE OUT.csv");
        return convert(given, given->operand[1], given->operand[2]);
    }
    if (given->operands != 1)
        return complain(2, "use: stillwatt sky TRIP, or stillwatt sky convert FILE OUT.csv");
    return show(given, given->operand[0]);
}

static const option own_options[] = {
    {"--chart", OPTION_TEXT, offsetof(options, chart), "FILE.svg", "also draws the days"},
};

const verb verb_sky = {
    "sky",
    "TRIP",
    "the weather of a trip day by day; `sky convert FILE OUT.csv` makes our CSV of a weather file",
    own_options,
    sizeof own_options / sizeof own_options[0],
    1,
    3,
    run};
