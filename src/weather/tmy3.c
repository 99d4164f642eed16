// Reads TMY3 files, comma-separated typical years of the National Renewable Energy Laboratory: a line for the
// place, a line of column names, 8760 rows. Columns are found by name, as releases differ in their number
// [tmy3].
#include "weather/record.h"

#include <math.h>
#include <string.h>
#include <strings.h>

#define CODE_ABOVE 1e9 /* missing values are negative codes only */

#define IN_ROW(member) offsetof(sw_weather_row, member)
static const record_column columns[] = {
    {"GHI (W/m^2)", 0, IN_ROW(ghi_w_m2), CODE_ABOVE, 0, 2000, 1, 1, "global radiation", 0},
    {"DNI (W/m^2)", 0, IN_ROW(dni_w_m2), CODE_ABOVE, 0, 2000, 1, 1, "direct radiation", 0},
    {"DHI (W/m^2)", 0, IN_ROW(dhi_w_m2), CODE_ABOVE, 0, 2000, 1, 1, "diffuse radiation", 0},
    {"Dry-bulb (C)", 0, IN_ROW(air_c), CODE_ABOVE, -90, 70, 1, 1, "air temperature", 0},
    {"RHum (%)", 0, IN_ROW(humidity_pct), CODE_ABOVE, 0, 110, 1, 0, "relative humidity", 0},
    {"Pressure (mbar)", 0, IN_ROW(pressure_pa), CODE_ABOVE, 310, 1200, 100, 0, "air pressure", 0},
    {"Wspd (m/s)", 0, IN_ROW(wind_m_s), CODE_ABOVE, 0, 100, 1, 0, "wind", 0},
    {"Alb (unitless)", 0, IN_ROW(albedo), CODE_ABOVE, 0, 1, 1, 0, "albedo", 0},
    {"Lprecip depth (mm)", 0, IN_ROW(rain_mm), CODE_ABOVE, 0, 998, 1, 0, "rain", 0},
};
#define COLUMNS ((int)(sizeof columns / sizeof columns[0]))

/* Where the columns of a file stand, from 1; 0 where it has none of that name. */
typedef struct layout {
    int date, clock, number[COLUMNS];
    int count; /* of the line of names */
} layout;

static int is_word(sw_span span, const char *word)
{
    size_t length = strlen(word);
    return (size_t)(span.end - span.at) == length && strncasecmp(span.at, word, length) == 0;
}

/* The name stands in quotes, in which a comma may stand. */
static void record_name(record *r, sw_span *rest)
{
    sw_span name = {NULL, NULL}, after;
    sw_span quoted = rest->at != NULL ? sw_span_trim(*rest) : name;
    if (quoted.at < quoted.end && *quoted.at == '"') {
        *rest = (sw_span){quoted.at + 1, quoted.end};
        (void)sw_span_field(rest, '"', &name);
        (void)sw_span_field(rest, ',', &after); // what is left up to the comma behind it
    } else {
        (void)sw_span_field(rest, ',', &name);
    }
    sw_record_place(r, name);
}

/* number,"name",state,time zone,latitude,longitude,elevation: the zone comes first, unlike in EPW. */
static sw_status read_place(record *r)
{
    static const char hint[] = "station number,\"name\",state,time zone,latitude,longitude,elevation";
    sw_span line = {NULL, NULL}, rest, field = {NULL, NULL};
    (void)sw_record_line(r, &line);
    rest = line;
    (void)sw_span_field(&rest, ',', &field);
    record_name(r, &rest);
    (void)sw_span_field(&rest, ',', &field);
    double hours = 0;
    sw_record_place_number(r, line, &rest, "time zone", -14, 14, hint, &hours);
    sw_record_place_number(r, line, &rest, "latitude", -90, 90, hint, &r->series->lat_deg);
    sw_record_place_number(r, line, &rest, "longitude", -180, 180, hint, &r->series->lon_deg);
    sw_record_place_number(r, line, &rest, "elevation", -1000, 9999, hint, &r->series->elevation_m);
    r->series->utc_offset_s = (int32_t)lround(hours * 3600);
    return r->worst;
}

static sw_status read_names(record *r, layout *out)
{
    sw_span line = {NULL, NULL}, rest, field;
    *out = (layout){0};
    (void)sw_record_line(r, &line);
    rest = line;
    while (sw_span_field(&rest, ',', &field) && out->count < 1000) {
        out->count++;
        field = sw_span_trim(field);
        out->date = sw_span_begins(field, "Date (") ? out->count : out->date;
        out->clock = sw_span_begins(field, "Time (") ? out->count : out->clock;
        for (int i = 0; i < COLUMNS; i++)
            if (is_word(field, columns[i].name))
                out->number[i] = out->count;
    }
    sw_where where = sw_record_here(r, line.at, NULL);
    if (out->date == 0 || out->clock == 0)
        return sw_record_error(r, &where, "Date (MM/DD/YYYY),Time (HH:MM),...",
                               "the second line of a TMY3 file names its columns, date and time first");
    for (int i = 0; i < COLUMNS; i++)
        if (columns[i].needed && out->number[i] == 0)
            (void)sw_record_error(r, &where, "the second line of a TMY3 file names its columns",
                                  "there is no column \"%s\"", columns[i].name);
    return r->worst;
}

/* Numbers with a separator between them: "01/31/1997", "1:00", "24:00:00". @return how many, at most 3 */
static int read_parts(sw_span field, char separator, double out[3])
{
    sw_span part;
    int count = 0;
    field = sw_span_trim(field);
    while (count < 3 && sw_span_field(&field, separator, &part) && sw_span_number(part, &out[count]) &&
           fabs(out[count]) <= 9999)
        count++;
    return field.at == NULL ? count : 0;
}

static void read_row(record *r, sw_span line, const void *format, double date[5], sw_weather_row *row)
{
    const layout *at = format;
    sw_span rest = line, field;
    double day[3] = {0, 0, 0}, clock[3] = {0, 0, 0};
    int number = 0;
    while (number < at->count && sw_span_field(&rest, ',', &field)) {
        number++;
        if (number == at->date && read_parts(field, '/', day) != 3)
            sw_record_bad_value(r, line, field, "a date", "month, day and year, as 01/31/1997");
        if (number == at->clock && read_parts(field, ':', clock) < 2)
            sw_record_bad_value(r, line, field, "a time", "hour and minute, as 01:00 to 24:00");
        for (int i = 0; i < COLUMNS; i++)
            if (at->number[i] == number)
                sw_record_value(r, line, field, columns, i, row);
    }
    if (number < at->count) {
        sw_where where = sw_record_here(r, line.at, NULL);
        (void)sw_record_error(r, &where, "as many values as the second line has names",
                              "this row has only %d of %d values", number, at->count);
    }
    date[1] = day[2];
    date[2] = day[0];
    date[3] = day[1];
    date[4] = clock[1] == 0 ? clock[0] : 0;
}

sw_status sw_tmy3_read(const char *text, size_t length, const char *name, sw_messages *messages,
                       sw_series **out)
{
    record r;
    layout at;
    *out = NULL;
    if (sw_record_open(&r, text, length, name, messages) != SW_OK)
        return SW_NO_MEMORY;
    if (read_place(&r) == SW_OK && read_names(&r, &at) == SW_OK && sw_record_year(&r, read_row, &at) == SW_OK)
        sw_record_warn_of_left_out(&r, columns, COLUMNS);
    return sw_record_close(&r, out);
}
