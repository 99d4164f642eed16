// The table of weather stations: opened by finding its lines, months read only where they are asked for.
#include "stillwatt/stations.h"
#include "weather/span.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define ERRORS_LISTED 20

static const char header[] =
    "name,region,country,zone,set,lat,lon,elevation_m,ghi,dni,dhi,mean,min,max,humidity,"
    "wind,kt,ktsd,dark";

/* Columns of months: twelve whole numbers each, in units of `unit`. */
typedef struct month_column {
    size_t offset;
    double unit;
    const char *says;
} month_column;

#define IN_MONTH(member) offsetof(sw_month, member)
static const month_column month_columns[] = {
    {IN_MONTH(ghi_kwh_m2_day), 1000, "global radiation"},
    {IN_MONTH(dni_kwh_m2_day), 1000, "direct radiation"},
    {IN_MONTH(dhi_kwh_m2_day), 1000, "diffuse radiation"},
    {IN_MONTH(mean_c), 10, "mean temperature"},
    {IN_MONTH(daily_min_c), 10, "mean daily minimum"},
    {IN_MONTH(daily_max_c), 10, "mean daily maximum"},
    {IN_MONTH(humidity_pct), 1, "relative humidity"},
    {IN_MONTH(wind_m_s), 10, "wind"},
    {IN_MONTH(kt_mean), 1000, "clearness index"},
    {IN_MONTH(kt_sd), 1000, "spread of the clearness index"},
    {IN_MONTH(dark_day_share), 1000, "share of dark days"},
};

struct sw_station_table {
    char *name;
    int count, room;
    sw_station *station;
    sw_span *months; /* of each station: the text after its place columns */
    int *line;
};

static int copy_field(sw_span *rest, char *out, size_t size)
{
    sw_span field;
    if (!sw_span_field(rest, ',', &field))
        return 0;
    field = sw_span_trim(field);
    sw_span_copy(field, out, size);
    return field.at < field.end && (size_t)(field.end - field.at) < size;
}

static int number_field(sw_span *rest, double low, double high, double *out)
{
    sw_span field;
    return sw_span_field(rest, ',', &field) && sw_span_number(field, out) && *out >= low && *out <= high;
}

/* @return what is wrong with the row, NULL if nothing */
static const char *read_place(sw_span *rest, sw_station *out)
{
    if (!copy_field(rest, out->name, sizeof out->name))
        return "the name is missing or longer than 63 bytes";
    if (!copy_field(rest, out->region, sizeof out->region) ||
        !copy_field(rest, out->country, sizeof out->country))
        return "the region or country is missing or too long";
    if (!copy_field(rest, out->zone, sizeof out->zone) || !copy_field(rest, out->set, sizeof out->set))
        return "the time zone or data set is missing or too long";
    if (!number_field(rest, -90, 90, &out->lat_deg) || !number_field(rest, -180, 180, &out->lon_deg))
        return "latitude and longitude must be degrees from -90 to 90 and -180 to 180";
    if (!number_field(rest, -500, 9000, &out->elevation_m))
        return "the elevation must be metres from -500 to 9000";
    return rest->at == NULL ? "the months are missing" : NULL;
}

static int grow(sw_station_table *table)
{
    int room = table->room > 0 ? table->room * 2 : 1024;
    sw_station *station = realloc(table->station, (size_t)room * sizeof *station);
    table->station = station != NULL ? station : table->station;
    sw_span *months = realloc(table->months, (size_t)room * sizeof *months);
    table->months = months != NULL ? months : table->months;
    int *line = realloc(table->line, (size_t)room * sizeof *line);
    table->line = line != NULL ? line : table->line;
    if (station == NULL || months == NULL || line == NULL)
        return 0;
    table->room = room;
    return 1;
}

static sw_status row_error(const sw_station_table *table, int line, sw_messages *messages, const char *what)
{
    sw_where where = {table->name, line, 0, NULL};
    return sw_error(messages, SW_BAD_INPUT, &where, header, "%s", what);
}

static sw_status read_rows(sw_station_table *table, sw_span rest, sw_messages *messages)
{
    sw_span line;
    int number = 0, headed = 0, errors = 0;
    while (errors < ERRORS_LISTED && number < 1000000 && sw_span_line(&rest, &line)) {
        number++;
        line = sw_span_trim(line);
        if (line.at == line.end || *line.at == '#')
            continue;
        if (!headed) {
            headed = (size_t)(line.end - line.at) == sizeof header - 1 &&
                     memcmp(line.at, header, sizeof header - 1) == 0;
            if (!headed)
                return row_error(table, number, messages, "the columns are not those of a table of stations");
            continue;
        }
        if (table->count == table->room && !grow(table))
            return SW_NO_MEMORY;
        const char *wrong = read_place(&line, &table->station[table->count]);
        if (wrong != NULL) {
            (void)row_error(table, number, messages, wrong);
            errors++;
            continue;
        }
        table->months[table->count] = line;
        table->line[table->count++] = number;
    }
    if (errors == 0 && table->count == 0)
        return row_error(table, 0, messages, "the table has no stations");
    return errors > 0 ? SW_BAD_INPUT : SW_OK;
}

sw_status sw_stations_open(const char *text, size_t length, const char *name, sw_messages *messages,
                           sw_station_table **out)
{
    sw_station_table *table = calloc(1, sizeof *table);
    *out = NULL;
    if (table == NULL)
        return SW_NO_MEMORY;
    table->name = strdup(name);
    sw_status status =
        table->name != NULL ? read_rows(table, (sw_span){text, text + length}, messages) : SW_NO_MEMORY;
    if (status != SW_OK) {
        sw_stations_free(table);
        return status;
    }
    *out = table;
    return SW_OK;
}

void sw_stations_free(sw_station_table *table)
{
    if (table == NULL)
        return;
    free(table->name);
    free(table->station);
    free(table->months);
    free(table->line);
    free(table);
}

int sw_stations_count(const sw_station_table *table)
{
    return table->count;
}

const sw_station *sw_stations_at(const sw_station_table *table, int index)
{
    return index >= 0 && index < table->count ? &table->station[index] : NULL;
}

static int read_month_column(sw_span column, const month_column *as, sw_month out[12])
{
    sw_span field;
    for (int month = 0; month < 12; month++) {
        double value;
        if (!sw_span_field(&column, ' ', &field) || !sw_span_number(field, &value) || fabs(value) > 1e6)
            return 0;
        *(double *)((char *)&out[month] + as->offset) = value / as->unit;
    }
    return column.at == NULL;
}

const char *sw_station_state(const sw_station *s)
{
    return strcmp(s->region, "-") == 0 ? s->country : s->region;
}

sw_status sw_stations_months(const sw_station_table *table, int index, sw_messages *messages,
                             sw_month out[12])
{
    sw_span rest = table->months[index], column;
    for (size_t i = 0; i < sizeof month_columns / sizeof month_columns[0]; i++) {
        if (sw_span_field(&rest, ',', &column) && read_month_column(column, &month_columns[i], out))
            continue;
        sw_where where = {table->name, table->line[index], 0, NULL};
        return sw_error(
            messages, SW_BAD_INPUT, &where, "twelve whole numbers, January first, separated by one blank",
            "the %s of %s is not twelve numbers", month_columns[i].says, table->station[index].name);
    }
    return SW_OK;
}
