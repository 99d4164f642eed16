// The text of a drafted trip file: one stay away from hookups, the hardest form of the trip.
#include "report/draft_rows.h"

#include "stillwatt/civil.h"

#include <stdlib.h>

#define HEATED_C   15.0 /* typical of a heated cabin */
#define NO_LIMIT_C (-40.0)

static void make_name(page *p, const draft_answers *a)
{
    page name = {0};
    char *text = NULL;
    sw_page_add(&name, "%d %s at %s", a->nights, a->nights == 1 ? "night" : "nights", a->station);
    if (sw_growing_take(&name, &text) != SW_OK) {
        p->failed = 1;
        return;
    }
    sw_draft_quote(p, text);
    free(text);
}

static void make_van(page *p, const draft_answers *a)
{
    sw_draft_quote(p, a->van_file);
}

static void make_reserve(page *p, const draft_answers *a)
{
    double reserve = sw_chemistry_of((sw_chemistry)a->chemistry)->reserve;
    sw_page_add(p, "\"%.0f %%\"", 100.0 * reserve);
}

static void make_cabin(page *p, const draft_answers *a)
{
    sw_draft_temperature(p, a->heater ? HEATED_C : NO_LIMIT_C, a);
}

static void make_station(page *p, const draft_answers *a)
{
    sw_draft_quote(p, a->station);
}

static const draft_row head_rows[] = {
    DRAFT_FIXED("format", "\"stillwatt trip 1\"", NULL),
    DRAFT_MADE("name", make_name, NULL),
    DRAFT_MADE("van", make_van, "seen from this file"),
    DRAFT_MADE("reserve", make_reserve, "charge never to fall below"),
    DRAFT_FIXED("start_charge", "\"100 %\"", "when the trip begins"),
    {0},
};

static const draft_row cabin_rows[] = {
    DRAFT_MADE("cabin_at_least", make_cabin, NULL),
    {0},
};

static const draft_row place_rows[] = {
    DRAFT_MADE("station", make_station, NULL),
    {0},
};

static void add_day(page *p, int64_t day, const char *clock)
{
    int year, month, date;
    sw_civil_from_days(day, &year, &month, &date);
    sw_page_add(p, "\"%04d-%02d-%02d %s\"", year, month, date, clock);
}

static void add_cabin(page *p, const draft_answers *a)
{
    sw_draft_comment(
        p, 2,
        a->heater ? "The cabin follows the air outside, but the heater does not let it get colder than "
                    "this (typical)."
                  : "Without a heater the cabin gets as cold as outside: this value sets no limit. "
                    "A lithium battery takes no charge below freezing.");
    sw_draft_add_rows(p, 2, cabin_rows, a, 1);
}

static void add_places(page *p, const draft_answers *a)
{
    page says = {0};
    char *text = NULL;
    sw_page_add(
        &says,
        "The places of the trip by name. This station of the weather table is %s; it gives position, "
        "height, clock and monthly means. A place may also be given by latitude, longitude, elevation "
        "and zone.",
        a->station_is);
    if (sw_growing_take(&says, &text) != SW_OK) {
        p->failed = 1;
        return;
    }
    sw_page_add(p, "\n");
    sw_draft_add_object(p, 2, &(draft_object){"places", "camp", NULL, text, place_rows}, a);
    sw_page_add(p, ",\n");
    free(text);
}

static void add_legs(page *p, const draft_answers *a)
{
    int64_t last_day = a->first_day + a->nights;
    sw_page_add(p, "\n");
    sw_draft_comment(
        p, 2,
        "Stays and drives in order, on the clock of the place. This is one stay without a hookup "
        "and without a drive. With a second place, \"town\", legs such as these could come after:");
    sw_page_add(p, "  //   {\"drive\": [\"camp\", \"town\"], \"to\": ");
    add_day(p, last_day, "12:00");
    sw_page_add(p, "},\n  //   {\"stay\": \"town\", \"to\": ");
    add_day(p, last_day + 1, "10:00");
    sw_page_add(p, ",\n  //    \"hookup\": {\"current\": \"30 A\", \"voltage\": \"120 V\"}}\n"
                   "  \"legs\": [\n    {\"stay\": \"camp\", \"from\": ");
    add_day(p, a->first_day, "16:00");
    sw_page_add(p, ", \"to\": ");
    add_day(p, last_day, "10:00");
    sw_page_add(p, "}\n  ],\n");
}

static void add_sky(page *p)
{
    sw_page_add(p, "\n");
    sw_draft_comment(p, 2,
                     "The weather to rehearse under: \"average\" (the monthly means, with a poor week beside "
                     "them), \"told\" (cloud day by day) or \"hourly\" (a weather file).");
    sw_page_add(p, "  \"sky\": {\"kind\": \"average\"}\n");
}

sw_status sw_draft_trip_text(const draft_answers *a, char **out)
{
    page p = {0};
    sw_draft_comment(&p, 0,
                     "A trip with a van, drafted from a few answers and meant to be edited. Text after // is "
                     "for people; every quantity carries its unit. To see whether the charge lasts: "
                     "`stillwatt rehearse` on this file.");
    sw_page_add(&p, "//\n");
    sw_draft_add_answers(&p, DRAFT_TRIP, a);
    sw_page_add(&p, "{\n");
    sw_draft_add_rows(&p, 2, head_rows, a, 1);
    sw_page_add(&p, "\n");
    add_cabin(&p, a);
    add_places(&p, a);
    add_legs(&p, a);
    add_sky(&p);
    sw_page_add(&p, "}\n");
    return sw_growing_take(&p, out);
}
