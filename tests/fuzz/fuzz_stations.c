// Any text as the table of stations: places, months, names looked for, climates of places.
#include "fuzz/support/said.h"

#include "stillwatt/stations.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum { ROOM = 5, STATIONS_LOOKED_AT = 40 };

static const char header[] =
    "name,region,country,zone,set,lat,lon,elevation_m,ghi,dni,dhi,mean,min,max,humidity,"
    "wind,kt,ktsd,dark\n";
static const sw_status statuses[] = {SW_BAD_INPUT, SW_NO_MEMORY, SW_OK};

typedef struct query {
    const fuzz_named *text;
    const char *name;
    double lat_deg, lon_deg, elevation_m;
} query;

static void check_station(const sw_station *station, fuzz_record *record)
{
    FUZZ_ASSERT(station != NULL, "a station is missing");
    FUZZ_ASSERT(fuzz_is_printable(station->name) && fuzz_is_printable(station->region) &&
                    fuzz_is_printable(station->country) && fuzz_is_printable(station->zone) &&
                    fuzz_is_printable(station->set),
                "a station cannot be printed");
    FUZZ_ASSERT(station->name[0] != '\0' && station->zone[0] != '\0', "a station without name or zone");
    FUZZ_ASSERT(fabs(station->lat_deg) <= 90 && fabs(station->lon_deg) <= 180, "%s at %g, %g", station->name,
                station->lat_deg, station->lon_deg);
    FUZZ_ASSERT(station->elevation_m >= -500 && station->elevation_m <= 9000, "%s at %g m", station->name,
                station->elevation_m);
    fuzz_note(record, "%s %s %s %a %a %a\n", station->name, station->region, station->zone, station->lat_deg,
              station->lon_deg, station->elevation_m);
}

static int all_finite(const sw_month month[12])
{
    const double *values = (const double *)(const void *)month;
    for (size_t i = 0; i < 12 * sizeof month[0] / sizeof *values; i++)
        if (!isfinite(values[i]))
            return 0;
    return 1;
}

static void check_months(const sw_station_table *table, int index, const fuzz_named *text,
                         fuzz_record *record)
{
    sw_month month[12];
    sw_messages *messages = sw_messages_create();
    sw_status status = sw_stations_months(table, index, messages, month);
    fuzz_check_said(messages, status, statuses, text, 1, record);
    FUZZ_ASSERT(status != SW_OK || all_finite(month), "a month that is not finite");
    if (status == SW_OK)
        fuzz_note(record, "%a %a\n", month[0].ghi_kwh_m2_day, month[11].dark_day_share);
    sw_messages_free(messages);
}

// Suggestions are some of the table's stations, each once; with no room the answer is the same.
static void check_find(const sw_station_table *table, const char *name, fuzz_record *record)
{
    int suggest[ROOM + 1] = {-7, -7, -7, -7, -7, -7}, suggested = -7, none = -7;
    int count = sw_stations_count(table), index = sw_stations_find(table, name, suggest, ROOM, &suggested);
    FUZZ_ASSERT(index >= -1 && index < count, "\"%s\" is station %d of %d", name, index, count);
    FUZZ_ASSERT(suggested >= 0 && suggested <= ROOM && suggest[suggested] == -7, "%d are suggested",
                suggested);
    for (int i = 0; i < suggested; i++) {
        FUZZ_ASSERT(suggest[i] >= 0 && suggest[i] < count, "station %d is suggested", suggest[i]);
        for (int k = 0; k < i; k++)
            FUZZ_ASSERT(suggest[i] != suggest[k], "station %d is suggested twice", suggest[i]);
        fuzz_note(record, "%d ", suggest[i]);
    }
    FUZZ_ASSERT(sw_stations_find(table, name, NULL, 0, &none) == index, "\"%s\" is found by the room", name);
    fuzz_note(record, "%d\n", index);
}

static void check_climate(const sw_station_table *table, const query *q, fuzz_record *record)
{
    sw_messages *messages = sw_messages_create();
    sw_climate climate;
    double sum = 0;
    sw_where where = {.path = "/places/a"};
    sw_status status =
        sw_climate_at(table, q->lat_deg, q->lon_deg, q->elevation_m, &where, messages, &climate);
    fuzz_check_said(messages, status, statuses, q->text, 1, record);
    sw_messages_free(messages);
    if (status != SW_OK)
        return;
    FUZZ_ASSERT(climate.neighbours >= 1 && climate.neighbours <= SW_NEIGHBOURS, "%d neighbours",
                climate.neighbours);
    for (int i = 0; i < climate.neighbours; i++) {
        FUZZ_ASSERT(climate.distance_km[i] >= 0 && climate.distance_km[i] <= 300 && climate.weight[i] > 0,
                    "a neighbour at %g km weighs %g", climate.distance_km[i], climate.weight[i]);
        sum += climate.weight[i];
    }
    FUZZ_ASSERT(fabs(sum - 1) < 1e-9, "the weights sum to %.17g", sum);
    FUZZ_ASSERT(all_finite(climate.month), "a climate that is not finite");
    fuzz_note(record, "%a %a\n", climate.month[0].ghi_kwh_m2_day, climate.month[6].kt_mean);
}

static void check_table(const sw_station_table *table, const query *q, fuzz_record *record)
{
    int count = sw_stations_count(table);
    FUZZ_ASSERT(count > 0, "a table without stations");
    FUZZ_ASSERT(sw_stations_at(table, -1) == NULL && sw_stations_at(table, count) == NULL,
                "one station too many");
    for (int i = 0; i < count && i < STATIONS_LOOKED_AT; i++) {
        check_station(sw_stations_at(table, i), record);
        check_months(table, i, q->text, record);
        check_find(table, sw_stations_at(table, i)->name, record);
    }
    check_find(table, q->name, record);
    check_climate(table, q, record);
}

static fuzz_record read_once(const query *q)
{
    char *exact = fuzz_memory(q->text->length);
    memcpy(exact, q->text->bytes, q->text->length);
    sw_messages *messages = sw_messages_create();
    sw_station_table *table = NULL;
    fuzz_record record = {NULL, 0, 0};
    sw_status status = sw_stations_open(exact, q->text->length, q->text->name, messages, &table);
    fuzz_check_said(messages, status, statuses, q->text, 1, &record);
    FUZZ_ASSERT((table != NULL) == (status == SW_OK), "status %d, but %s table", (int)status,
                table != NULL ? "a" : "no");
    if (table != NULL)
        check_table(table, q, &record);
    sw_stations_free(table);
    sw_messages_free(messages);
    free(exact);
    return record;
}

// With the right header in front, unless the fourth option says otherwise.
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    fuzz_input input = {data, size};
    fuzz_change change = fuzz_choose_change(&input);
    int headed = fuzz_choose(&input, 2) == 0;
    double lat_deg = fuzz_between(&input, -90, 90), lon_deg = fuzz_between(&input, -180, 180);
    query q = {NULL, NULL, lat_deg, lon_deg, fuzz_between(&input, -500, 9000)};
    fuzz_text name = fuzz_piece(&input);
    fuzz_record whole = {NULL, 0, 0};
    fuzz_note(&whole, "%s", headed ? header : "");
    fuzz_text rest = fuzz_text_of((const char *)input.at, input.left), text;
    text.length = whole.length + rest.length;
    text.bytes = fuzz_memory(text.length + 1);
    memcpy(text.bytes, whole.text, whole.length);
    memcpy(text.bytes + whole.length, rest.bytes, rest.length + 1);
    fuzz_change_text(change, &text);
    fuzz_named named = {"stations.csv", text.bytes, text.length, 0};
    q.text = &named;
    q.name = name.bytes;
    fuzz_record first = read_once(&q), second = read_once(&q);
    fuzz_same(&first, &second);
    free(whole.text);
    fuzz_text_free(&rest);
    fuzz_text_free(&name);
    fuzz_text_free(&text);
    return 0;
}
