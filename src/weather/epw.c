// Reads EPW weather files. Layout, units and missing codes: the EnergyPlus EPW data dictionary [epw].
#include "stillwatt/series.h"
#include "weather/gaps.h"
#include "weather/span.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>

#define ROWS_COMMON      8760
#define ROWS_LEAP        8784
#define ROW_MARCH        1416 /* rows before 29 February or 1 March */
#define LAST_COLUMN      33
#define LEAST_COLUMNS    22
#define HEADER_LINES_MAX 64
#define ERRORS_LISTED    20
#define TYPICAL_YEAR_S   INT64_C(978307200) /* 2001-01-01T00:00Z */

/* One quantity of a row. Missing: from `missing` up [epw], and from -99 down (codes of other formats met in
 * files). */
typedef struct epw_column {
    int number;
    size_t offset;
    double missing, low, high, scale;
    int needed; /* a value outside low..high is an error, not left out; a little below 0 is 0 in radiation */
    const char *says;
} epw_column;

#define IN_ROW(member) offsetof(sw_weather_row, member)
static const epw_column columns[] = {
    {7, IN_ROW(air_c), 99.9, -90, 70, 1, 1, "air temperature"},
    {9, IN_ROW(humidity_pct), 999, 0, 110, 1, 0, "relative humidity"},
    {10, IN_ROW(pressure_pa), 999999, 31000, 120000, 1, 0, "air pressure"},
    {14, IN_ROW(ghi_w_m2), 9999, 0, 2000, 1, 1, "global radiation"},
    {15, IN_ROW(dni_w_m2), 9999, 0, 2000, 1, 1, "direct radiation"},
    {16, IN_ROW(dhi_w_m2), 9999, 0, 2000, 1, 1, "diffuse radiation"},
    {22, IN_ROW(wind_m_s), 999, 0, 100, 1, 0, "wind"},
    {31, IN_ROW(snow_m), 999, 0, 998, 0.01, 0, "snow depth"},
    {33, IN_ROW(albedo), 999, 0, 1, 1, 0, "albedo"},
};
#define COLUMNS (sizeof columns / sizeof columns[0])

typedef struct epw_reader {
    sw_span rest;
    const char *name;
    sw_messages *messages;
    int line, first_row_line;
    sw_status worst;
    int errors;
    int64_t rows;      /* lines after the header that are not empty */
    int64_t after_end; /* of those, the ones after an empty line */
    int in_order, leap, mixed_years;
    double year; /* of the file's 29 February; until it comes, of the last row */
    int32_t left_out[COLUMNS], left_out_line[COLUMNS];
    sw_series *series;
} epw_reader;

static void failed(epw_reader *reader, sw_status status)
{
    if (reader->worst != SW_NO_MEMORY)
        reader->worst = status;
}

/* Where the next error goes; NULL messages once enough are listed. */
static sw_messages *sink(epw_reader *reader)
{
    reader->errors++;
    if (reader->errors == ERRORS_LISTED + 1) {
        sw_where where = {reader->name, reader->line, 0, NULL};
        failed(reader,
               sw_error(reader->messages, SW_BAD_INPUT, &where, NULL, "errors from here on are not listed"));
    }
    return reader->errors > ERRORS_LISTED ? NULL : reader->messages;
}

static sw_where here(const epw_reader *reader, const char *line, const char *at)
{
    int column = at != NULL && at - line < INT32_MAX ? (int)(at - line) + 1 : 0;
    return (sw_where){reader->name, reader->line, column, NULL};
}

/* Where nothing is left the last line stays the one that messages name; an empty file has a first line. */
static int next_line(epw_reader *reader, sw_span *line)
{
    int found = sw_span_line(&reader->rest, line);
    reader->line += (found || reader->line == 0) && reader->line < INT32_MAX;
    return found;
}

static int begins_with(sw_span span, const char *word)
{
    size_t length = strlen(word);
    span = sw_span_trim(span);
    return (size_t)(span.end - span.at) >= length && strncasecmp(span.at, word, length) == 0;
}

static sw_status header_error(epw_reader *reader, const char *what, const char *hint)
{
    sw_where where = here(reader, NULL, NULL);
    failed(reader, sw_error(sink(reader), SW_BAD_INPUT, &where, hint, "%s", what));
    return reader->worst;
}

/* Fields 7 to 10 of the LOCATION line. */
static sw_status read_place_number(epw_reader *reader, sw_span line, sw_span *rest, const char *says,
                                   double low, double high, double *out)
{
    sw_span field = {line.end, line.end};
    (void)sw_span_field(rest, ',', &field);
    if (sw_span_number(field, out) && *out >= low && *out <= high)
        return SW_OK;
    char text[32];
    sw_span_copy(sw_span_trim(field), text, sizeof text);
    sw_where where = here(reader, line.at, field.at);
    failed(reader, sw_error(sink(reader), SW_BAD_INPUT, &where,
                            "LOCATION,city,state,country,source,WMO,latitude,longitude,time zone,elevation",
                            "the %s must be a number from %g to %g, not \"%s\"", says, low, high, text));
    return SW_BAD_INPUT;
}

static sw_status read_location(epw_reader *reader)
{
    sw_span line, rest, field = {NULL, NULL};
    if (!next_line(reader, &line) || !begins_with(line, "LOCATION,"))
        return header_error(reader, "this is not an EPW file: its first line does not begin with LOCATION",
                            "an EPW file begins with LOCATION,city,state,country,...");
    rest = line;
    char city[128] = "";
    for (int i = 1; i <= 6 && sw_span_field(&rest, ',', &field); i++)
        if (i == 2)
            sw_span_copy(sw_span_trim(field), city, sizeof city);
    sw_series *series = reader->series;
    double hours = 0;
    (void)read_place_number(reader, line, &rest, "latitude", -90, 90, &series->lat_deg);
    (void)read_place_number(reader, line, &rest, "longitude", -180, 180, &series->lon_deg);
    (void)read_place_number(reader, line, &rest, "time zone", -14, 14, &hours);
    (void)read_place_number(reader, line, &rest, "elevation", -1000, 9999, &series->elevation_m);
    series->utc_offset_s = (int32_t)lround(hours * 3600);
    series->place = strdup(city);
    if (series->place == NULL)
        failed(reader, SW_NO_MEMORY);
    return reader->worst;
}

/* DATA PERIODS,number of periods,records per hour,...: the last line of the header. */
static sw_status read_header(epw_reader *reader)
{
    if (read_location(reader) != SW_OK)
        return reader->worst;
    sw_span line;
    do {
        if (reader->line >= HEADER_LINES_MAX || !next_line(reader, &line))
            return header_error(reader, "the header has no line that begins with DATA PERIODS",
                                "the eighth line of an EPW file is DATA PERIODS,1,1,Data,Sunday,1/1,12/31");
    } while (!begins_with(line, "DATA PERIODS"));
    sw_span rest = line, field;
    double number[3] = {0, 0, 0};
    for (int i = 0; i < 3 && sw_span_field(&rest, ',', &field); i++)
        (void)sw_span_number(field, &number[i]);
    if (number[1] != 1 || number[2] != 1)
        return header_error(reader, "only files with one period and one record an hour are read",
                            "DATA PERIODS,1,1,Data,Sunday,1/1,12/31");
    reader->first_row_line = reader->line + 1;
    return SW_OK;
}

static void bad_value(epw_reader *reader, sw_span line, sw_span field, const char *says, const char *expected)
{
    char text[32];
    sw_span_copy(sw_span_trim(field), text, sizeof text);
    sw_where where = here(reader, line.at, field.at);
    failed(reader, sw_error(sink(reader), SW_BAD_INPUT, &where, expected, "%s cannot be \"%s\"", says, text));
}

static void read_value(epw_reader *reader, sw_span line, sw_span field, size_t which, sw_weather_row *row)
{
    const epw_column *column = &columns[which];
    double *out = (double *)((char *)row + column->offset), value;
    field = sw_span_trim(field);
    if (field.at == field.end)
        return;
    if (!sw_span_number(field, &value)) {
        bad_value(reader, line, field, column->says, "a plain number with a decimal point");
        return;
    }
    if (value >= column->missing || value <= -99)
        return;
    int radiation = column->needed && column->low == 0;
    if (radiation && value < 0)
        value = 0;
    if (value >= column->low && value <= column->high) {
        *out = value * column->scale;
    } else if (column->needed) {
        bad_value(reader, line, field, column->says,
                  "a value that can be, or the format's code for a missing one");
    } else if (reader->left_out[which]++ == 0) {
        reader->left_out_line[which] = reader->line;
    }
}

/* Month, day and hour must be those of the row's place in the year. */
static void check_order(epw_reader *reader, sw_span line, const double *date)
{
    static const int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    reader->leap |= reader->rows == ROW_MARCH && date[2] == 2 && date[3] == 29;
    reader->mixed_years |= date[1] != reader->year && reader->rows > 0;
    if (reader->rows <= ROW_MARCH)
        reader->year = date[1];
    if (reader->rows >= (reader->leap ? ROWS_LEAP : ROWS_COMMON))
        return;
    int day = (int)(reader->rows / 24) + 1, hour = (int)(reader->rows % 24) + 1, month = 1;
    for (; day > length[month - 1] + (month == 2 && reader->leap); month++)
        day -= length[month - 1] + (month == 2 && reader->leap);
    reader->in_order = date[2] == month && date[3] == day && date[4] == hour;
    if (reader->in_order)
        return;
    sw_where where = here(reader, line.at, NULL);
    failed(reader,
           sw_error(sink(reader), SW_BAD_INPUT, &where,
                    "rows run hour by hour from month 1 day 1 hour 1 to month 12 day 31 hour 24",
                    "the row of month %d day %d hour %d should stand here, not month %.0f day %.0f hour %.0f",
                    month, day, hour, date[2], date[3], date[4]));
}

static void read_row(epw_reader *reader, sw_span line)
{
    sw_weather_row row = {NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};
    double date[5] = {0, 0, 0, 0, 0};
    sw_span rest = line, field;
    size_t which = 0;
    int number = 1;
    for (; number <= LAST_COLUMN && sw_span_field(&rest, ',', &field); number++) {
        if (number <= 4 && (!sw_span_number(field, &date[number]) || fabs(date[number]) > 9999))
            bad_value(reader, line, field, "a date's number", "year,month,day,hour,minute,flags,...");
        if (which < COLUMNS && columns[which].number == number)
            read_value(reader, line, field, which++, &row);
    }
    if (number <= LEAST_COLUMNS) {
        sw_where where = here(reader, line.at, NULL);
        failed(reader, sw_error(sink(reader), SW_BAD_INPUT, &where, "a row has 35 values",
                                "this row has only %d values", number - 1));
    }
    check_order(reader, line, date);
    if (row.albedo <= 0)
        row.albedo = NAN;
    if (reader->rows < ROWS_LEAP)
        reader->series->row[reader->rows] = row;
}

/* Values are read while the rows are in order; after that rows are only counted. */
static void read_rows(epw_reader *reader)
{
    sw_span line;
    int ended = 0;
    reader->in_order = 1;
    while (next_line(reader, &line)) {
        sw_span content = sw_span_trim(line);
        if (content.at == content.end) {
            ended = 1;
            continue;
        }
        if (ended && reader->after_end++ == 0)
            (void)header_error(reader, "a row stands after an empty line", "remove the empty line");
        else if (reader->in_order && !ended)
            read_row(reader, line);
        reader->rows++;
    }
}

static void check_count(epw_reader *reader)
{
    int64_t wanted = reader->leap ? ROWS_LEAP : ROWS_COMMON;
    sw_where where = {reader->name, reader->line, 0, NULL};
    if (reader->rows != wanted)
        failed(reader, sw_error(reader->messages, SW_BAD_INPUT, &where,
                                "a whole year has 8760 hourly rows, or 8784 with 29 February",
                                "the file has %lld rows of data, not %lld", (long long)reader->rows,
                                (long long)wanted));
    if (reader->worst != SW_OK || !reader->leap)
        return;
    int year = (int)reader->year;
    if (year < 1800 || year > 2200 || year % 4 != 0 || (year % 100 == 0 && year % 400 != 0))
        failed(reader,
               sw_error(reader->messages, SW_BAD_INPUT, &where, "correct the year in the first column",
                        "the file has a 29 February, but its year %d has none", year));
    else if (reader->mixed_years)
        sw_warn(reader->messages, &where, NULL,
                "the rows name several years; the record is read as that of %d", year);
}

static void warn_of_left_out(const epw_reader *reader)
{
    for (size_t i = 0; i < COLUMNS; i++) {
        sw_where where = {reader->name, reader->left_out_line[i], 0, NULL};
        if (reader->left_out[i] > 0)
            sw_warn(reader->messages, &where, NULL,
                    "%s is outside %g to %g in %d rows, the first of them here; left out", columns[i].says,
                    columns[i].low, columns[i].high, (int)reader->left_out[i]);
    }
}

/* A year's first second in UTC, for years from 1800: days since 1 January 1970 in closed form. */
static int64_t year_begin_s(int year)
{
    int before = year - 1;
    int64_t days = INT64_C(365) * before + before / 4 - before / 100 + before / 400 - 719162;
    return days * 86400;
}

static void finish(epw_reader *reader)
{
    sw_series *series = reader->series;
    series->step_s = 3600;
    series->typical_year = !reader->leap;
    series->count = reader->leap ? ROWS_LEAP : ROWS_COMMON;
    series->start_s =
        (reader->leap ? year_begin_s((int)reader->year) : TYPICAL_YEAR_S) - series->utc_offset_s;
    warn_of_left_out(reader);
    failed(reader, sw_gaps_fill(series, reader->name, reader->first_row_line, reader->messages));
}

sw_status sw_epw_read(const char *text, size_t length, const char *name, sw_messages *messages,
                      sw_series **out)
{
    epw_reader reader = {
        {text, text + length}, name, messages, 0, 0, SW_OK, 0, 0, 0, 1, 0, 0, 0, {0}, {0}, NULL};
    *out = NULL;
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
        reader.rest.at += 3;
    reader.series = calloc(1, sizeof *reader.series);
    if (reader.series != NULL)
        reader.series->row = malloc(ROWS_LEAP * sizeof *reader.series->row);
    if (reader.series == NULL || reader.series->row == NULL) {
        sw_series_free(reader.series);
        return SW_NO_MEMORY;
    }
    if (read_header(&reader) == SW_OK) {
        read_rows(&reader);
        check_count(&reader);
        if (reader.worst == SW_OK)
            finish(&reader);
    }
    if (reader.worst != SW_OK) {
        sw_series_free(reader.series);
        return reader.worst;
    }
    *out = reader.series;
    return SW_OK;
}
