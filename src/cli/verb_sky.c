// sky TRIP: the weather of a trip day by day. sky years TRIP: in each year on record. sky convert FILE
// OUT.csv: a weather file as our own CSV. sky fetch TRIP: see sky_fetch.c.
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
    int wrong = 0;
    if (given->chart != NULL) {
        sw_status status = sw_report_sky_chart(days, given->units, &chart);
        wrong = write_made(given->chart, status, chart, "the picture");
    }
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

// ---- years ----

/* @return the exit status */
static int answer_years(const options *given, const sw_sky_years *years, const sw_sky_year_sum *sum)
{
    char *text = NULL;
    sw_report_style style = terminal_style(given->units);
    if (sw_report_sky_years(years, sum, &style, &text) != SW_OK)
        return complain(4, "there is not enough memory for the answer");
    int wrong = print(text);
    free(text);
    return wrong;
}

/* What the first year's weather warns of holds for all. */
static sw_status sum_years(const options *given, const sw_sky_years *years, const sw_loader *loader,
                           sw_messages *messages, sw_sky_year_sum *sum)
{
    sw_status status = SW_OK;
    for (int i = 0; i < years->years && status == SW_OK; i++)
        status = sw_sky_year_sum_make(years, i, loader, given->step_s, i == 0 ? messages : NULL, &sum[i]);
    return status;
}

static int show_years(const options *given, char **operand)
{
    const char *file = operand[0];
    static sw_sky_year_sum sum[SW_SKY_YEARS_MAX];
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_plan *plan = NULL;
    sw_sky_years *years = NULL;
    if (messages == NULL)
        return complain(4, "there is not enough memory to look at %s", file);
    sw_status status = sw_read_trip(&loader, file, messages, &plan);
    if (status == SW_OK)
        status = sw_sky_years_make(plan, &loader, given->step_s, messages, &years);
    if (status == SW_OK)
        status = sum_years(given, years, &loader, messages, sum);
    int wrong = tell(messages, status);
    if (wrong == 0)
        wrong = answer_years(given, years, sum);
    sw_sky_years_free(years);
    sw_plan_free(plan);
    sw_messages_free(messages);
    return wrong;
}

// ---- convert ----

static int convert(const options *given, char **operand)
{
    const char *from = operand[0], *to = operand[1];
    sw_messages *messages = sw_messages_create();
    sw_loader loader = sw_disk_loader(data_folder(given));
    sw_series *series = NULL;
    char *csv = NULL;
    if (messages == NULL)
        return complain(4, "there is not enough memory to read %s", from);
    int wrong = tell(messages, sw_weather_load(&loader, from, NULL, NULL, messages, &series));
    if (wrong == 0 && sw_plain_csv_write(series, &csv) != SW_OK)
        wrong = complain(4, "there is not enough memory for the rows of %s", from);
    if (wrong == 0)
        wrong = write_whole(to, csv);
    free(csv);
    sw_series_free(series);
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

static int fetch(const options *given, char **operand)
{
    return sky_fetch(given, operand[0]);
}

/* What the first word may be; where it is none of these, it is a trip to be shown. */
static const struct {
    const char *name;
    int operands;
    const char *use;
    int (*run)(const options *given, char **operand);
} forms[] = {
    {"years", 1, "sky years TRIP", show_years},
    {"convert", 2, "sky convert FILE OUT.csv", convert},
    {"fetch", 1, "sky fetch TRIP", fetch},
};

static int run(const options *given)
{
    for (size_t i = 0; i < sizeof forms / sizeof forms[0]; i++) {
        if (strcmp(given->operand[0], forms[i].name) != 0)
            continue;
        int wrong = check_options(given, forms[i].name);
        if (wrong == 0 && given->operands != forms[i].operands + 1)
            wrong = complain(2, "use: stillwatt %s", forms[i].use);
        return wrong != 0 ? wrong : forms[i].run(given, given->operand + 1);
    }
    int wrong = check_options(given, "");
    if (wrong == 0 && given->operands != 1)
        wrong = complain(
            2, "use: stillwatt sky TRIP, sky years TRIP, sky convert FILE OUT.csv, or sky fetch TRIP");
    return wrong != 0 ? wrong : show(given, given->operand[0]);
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
    "the weather of a trip day by day; also `sky years TRIP`, `sky convert FILE OUT.csv`, `sky fetch TRIP`",
    own_options,
    sizeof own_options / sizeof own_options[0],
    1,
    3,
    run};
