// sky TRIP: the weather of a trip day by day. sky convert FILE OUT.csv: a weather file as our own CSV. sky
// fetch TRIP: see sky_fetch.c.
#include "cli/cli.h"
#include "cli/sky_fetch.h"

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
    sw_text text = {.bytes = NULL};
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

/* An option of one form does nothing in another: told, not passed over. @return 0 or the exit status */
static int check_options(const options *given, const char *form)
{
    int shows = form[0] == '\0', fetches = strcmp(form, "fetch") == 0;
    const struct {
        const char *name;
        int is_given, belongs;
    } rows[] = {
        {"--chart", given->chart != NULL, shows},
        {"--service", given->service != NULL, fetches},
        {"--address", given->address != NULL, fetches},
        {"--certificates", given->certificates != NULL, fetches},
        {"--patience", given->patience != NULL, fetches},
        {"--force", given->force, fetches},
    };
    for (size_t i = 0; i < sizeof rows / sizeof rows[0]; i++)
        if (rows[i].is_given && !rows[i].belongs)
            return complain(2, "`sky%s%s` has no option %s", shows ? "" : " ", form, rows[i].name);
    return 0;
}

static int run(const options *given)
{
    int converts = strcmp(given->operand[0], "convert") == 0,
        fetches = strcmp(given->operand[0], "fetch") == 0;
    int wrong = check_options(given, converts ? "convert" : fetches ? "fetch" : "");
    if (wrong != 0)
        return wrong;
    if (converts) {
        if (given->operands != 3)
            return complain(2, "use: stillwatt sky convert FILE OUT.csv");
        return convert(given, given->operand[1], given->operand[2]);
    }
    if (fetches) {
        if (given->operands != 2)
            return complain(2, "use: stillwatt sky fetch TRIP");
        return sky_fetch(given, given->operand[1]);
    }
    if (given->operands != 1)
        return complain(2, "use: stillwatt sky TRIP, sky convert FILE OUT.csv, or sky fetch TRIP");
    return show(given, given->operand[0]);
}

static const option own_options[] = {
    {"--chart", OPTION_TEXT, offsetof(options, chart), "FILE.svg", "also draws the days"},
    {"--service", OPTION_TEXT, offsetof(options, service), "NAME",
     "fetch: historical, forecast or reanalysis"},
    {"--address", OPTION_TEXT, offsetof(options, address), "HTTPS", "fetch: another address of the service"},
    {"--certificates", OPTION_TEXT, offsetof(options, certificates), "FILE", "fetch: whom to trust instead"},
    {"--patience", OPTION_TEXT, offsetof(options, patience), "MS",
     "fetch: first wait before another try (1000)"},
    {"--force", OPTION_FLAG, offsetof(options, force), NULL, "fetch: again, although it is kept"},
};

const verb verb_sky = {
    "sky",
    "TRIP",
    "the weather of a trip day by day; also `sky convert FILE OUT.csv` and `sky fetch TRIP`",
    own_options,
    sizeof own_options / sizeof own_options[0],
    1,
    3,
    run};
