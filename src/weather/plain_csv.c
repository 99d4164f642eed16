// Reads and writes weather as Stillwatt's own CSV, described in README.md: lines "# key: value" for the
// place, a line of column names with their units, rows with a time that carries its offset from UTC.
#include "files/decimal.h"
#include "files/growing.h"
#include "weather/record.h"

#include "stillwatt/civil.h"
#include "stillwatt/quantity.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define MAGIC         "# stillwatt weather 1"
#define NAMES_EXAMPLE "end,ghi [W/m2],dni [W/m2],dhi [W/m2],air [C],wind [m/s]"
#define TIME_EXAMPLE  "a time with its offset from UTC, as 2026-11-06T14:00-07:00 or 2026-11-06T21:00Z"
#define YEAR_ROWS     8760

#define IN_ROW(member) offsetof(sw_weather_row, member)
#define NO_CODE        INFINITY /* an empty field is a missing value */

typedef struct plain_column {
    record_column as;       // in the unit held
    sw_dimension dimension; // others of its units are read too; SW_DIM_NONE: only the one held
    const char *unit;
    int decimals; // when written
} plain_column;

static const plain_column plain_columns[] = {
    {{"ghi", 0, IN_ROW(ghi_w_m2), NO_CODE, 0, 2000, 1, 1, "global radiation", 0}, SW_DIM_NONE, "W/m2", 3},
    {{"dni", 0, IN_ROW(dni_w_m2), NO_CODE, 0, 2000, 1, 1, "direct radiation", 0}, SW_DIM_NONE, "W/m2", 3},
    {{"dhi", 0, IN_ROW(dhi_w_m2), NO_CODE, 0, 2000, 1, 1, "diffuse radiation", 0}, SW_DIM_NONE, "W/m2", 3},
    {{"air", 0, IN_ROW(air_c), NO_CODE, -90, 70, 1, 1, "air temperature", 0}, SW_DIM_TEMPERATURE, "C", 3},
    {{"wind", 0, IN_ROW(wind_m_s), NO_CODE, 0, 100, 1, 1, "wind", 0}, SW_DIM_SPEED, "m/s", 3},
    {{"humidity", 0, IN_ROW(humidity_pct), NO_CODE, 0, 110, 1, 1, "relative humidity", 0},
     SW_DIM_NONE,
     "%",
     1},
    {{"pressure", 0, IN_ROW(pressure_pa), NO_CODE, 31000, 120000, 1, 1, "air pressure", 0},
     SW_DIM_NONE,
     "Pa",
     0},
    {{"albedo", 0, IN_ROW(albedo), NO_CODE, 0, 1, 1, 1, "albedo", 0}, SW_DIM_NONE, "1", 3},
    {{"snow", 0, IN_ROW(snow_m), NO_CODE, 0, 20, 1, 1, "snow depth", 0}, SW_DIM_LENGTH, "m", 3},
    {{"rain", 0, IN_ROW(rain_mm), NO_CODE, 0, 998, 1, 1, "rain", 0}, SW_DIM_NONE, "mm", 1},
};
#define COLUMNS ((int)(sizeof plain_columns / sizeof plain_columns[0]))

typedef struct csv {
    record r;
    record_column column[COLUMNS]; // by place in the file's rows
    int columns, begins, middle;   // begins: times are of the begin of a step; middle: air is of its middle
    int32_t offset_s;              // of the first row
    record_points points;
} csv;

// ---- the place ----

/* Splits "# key: value". */
static void key_and_value(sw_span line, char *key, size_t key_size, sw_span *value)
{
    sw_span name;
    *value = (sw_span){line.at + 1, line.end};
    (void)sw_span_field(value, ':', &name);
    sw_span_copy(sw_span_trim(name), key, key_size);
    if (value->at == NULL)
        *value = (sw_span){line.end, line.end};
    *value = sw_span_trim(*value);
}

static void read_degrees(csv *c, sw_span value, const char *says, double most, double *out)
{
    sw_where where = sw_record_here(&c->r, NULL, NULL);
    if (!sw_span_number(value, out) || fabs(*out) > most)
        (void)sw_record_error(&c->r, &where, "degrees as a number, north and east positive, as -109.54",
                              "the %s must be a number from %g to %g", says, -most, most);
}

static void read_elevation(csv *c, sw_span value)
{
    char text[64];
    sw_quantity quantity;
    sw_where where = sw_record_here(&c->r, NULL, NULL);
    sw_span_copy(value, text, sizeof text);
    if (sw_quantity_read(text, SW_DIM_LENGTH, &quantity) != SW_QUANTITY_OK || !(quantity.value >= -1000) ||
        !(quantity.value <= 9999))
        (void)sw_record_error(&c->r, &where, "a length from -1000 m to 9999 m, as 1212 m or 3976 ft",
                              "the elevation cannot be \"%s\"", text);
    else
        c->r.series->elevation_m = quantity.value;
}

static void read_choice(csv *c, sw_span value, const char *key, const char *plain, const char *other,
                        int *out)
{
    char text[32];
    sw_where where = sw_record_here(&c->r, NULL, NULL);
    sw_span_copy(value, text, sizeof text);
    *out = strcmp(text, other) == 0;
    if (!*out && strcmp(text, plain) != 0)
        (void)sw_record_error(&c->r, &where, NULL, "\"%s\" is %s or %s, not \"%s\"", key, plain, other, text);
}

/* Comments with other keys are comments. */
static void read_comment(csv *c, sw_span line, int *have_lat, int *have_lon)
{
    char key[32];
    sw_span value;
    key_and_value(line, key, sizeof key, &value);
    if (strcmp(key, "place") == 0)
        sw_record_place(&c->r, value);
    else if (strcmp(key, "latitude") == 0)
        read_degrees(c, value, key, 90, &c->r.series->lat_deg), *have_lat = 1;
    else if (strcmp(key, "longitude") == 0)
        read_degrees(c, value, key, 180, &c->r.series->lon_deg), *have_lon = 1;
    else if (strcmp(key, "elevation") == 0)
        read_elevation(c, value);
    else if (strcmp(key, "year") == 0)
        read_choice(c, value, key, "real", "typical", &c->r.series->typical_year);
    else if (strcmp(key, "air") == 0)
        read_choice(c, value, key, "end", "middle", &c->middle);
}

// ---- names ----

static int line_of_unit(const plain_column *of, const char *unit, double *scale, double *zero)
{
    *scale = 1.0;
    *zero = 0.0;
    return strcmp(unit, of->unit) == 0 ||
           (of->dimension != SW_DIM_NONE && sw_quantity_line(unit, of->dimension, scale, zero));
}

static void read_name(csv *c, sw_span line, sw_span field, record_column *out)
{
    char name[32], unit[32];
    sw_span rest = sw_span_trim(field), word = rest;
    sw_where where = sw_record_here(&c->r, line.at, field.at);
    (void)sw_span_field(&rest, '[', &word);
    sw_span_copy(sw_span_trim(word), name, sizeof name);
    unit[0] = '\0';
    if (rest.at != NULL && sw_span_field(&rest, ']', &word))
        sw_span_copy(sw_span_trim(word), unit, sizeof unit);
    const char *known[COLUMNS];
    for (int i = 0; i < COLUMNS; i++) {
        const plain_column *of = &plain_columns[i];
        double scale, zero;
        known[i] = of->as.name;
        if (strcmp(name, of->as.name) != 0)
            continue;
        for (int k = 0; k < c->columns; k++)
            if (c->column[k].name == of->as.name)
                (void)sw_record_error(&c->r, &where, NULL, "the column \"%s\" stands twice", name);
        if (!line_of_unit(of, unit, &scale, &zero)) {
            (void)sw_record_error(&c->r, &where, NAMES_EXAMPLE, "\"%s\" is given in [%s], not in \"%s\"",
                                  name, of->unit, unit);
            return;
        }
        *out = of->as;
        out->scale = scale;
        out->zero = zero;
        out->low = (of->as.low - zero) / scale;
        out->high = (of->as.high - zero) / scale;
        return;
    }
    const char *nearest = sw_nearest_word(name, known, COLUMNS);
    (void)sw_record_error(&c->r, &where, NAMES_EXAMPLE, "there is no column \"%s\"%s%s%s", name,
                          nearest != NULL ? "; did you mean \"" : "", nearest != NULL ? nearest : "",
                          nearest != NULL ? "\"?" : "");
}

static int has(const csv *c, const char *name)
{
    for (int i = 0; i < c->columns; i++)
        if (strcmp(c->column[i].name, name) == 0)
            return 1;
    return 0;
}

static sw_status read_names(csv *c, sw_span line)
{
    sw_span rest = line, field;
    char first[16];
    sw_where where = sw_record_here(&c->r, line.at, NULL);
    (void)sw_span_field(&rest, ',', &field);
    sw_span_copy(sw_span_trim(field), first, sizeof first);
    c->begins = strcmp(first, "begin") == 0;
    if (!c->begins && strcmp(first, "end") != 0)
        return sw_record_error(
            &c->r, &where, NAMES_EXAMPLE,
            "the first column is \"end\" or \"begin\", the time at which a row's step ends or begins");
    while (c->r.worst == SW_OK && sw_span_field(&rest, ',', &field)) {
        if (c->columns == COLUMNS)
            return sw_record_error(&c->r, &where, NAMES_EXAMPLE, "there are more than %d columns",
                                   COLUMNS + 1);
        read_name(c, line, field, &c->column[c->columns]);
        c->columns += c->r.worst == SW_OK;
    }
    if (c->r.worst == SW_OK && (!has(c, "ghi") || !has(c, "air")))
        return sw_record_error(&c->r, &where, NAMES_EXAMPLE, "the columns \"ghi\" and \"air\" are needed");
    return c->r.worst;
}

// ---- rows ----

/* "-07:00", "+05:30", "Z". @return 1 and the offset [s] */
static int read_offset(const char *text, int32_t *out)
{
    int hours, minutes, ahead = text[0] == '+';
    *out = 0;
    if (strcmp(text, "Z") == 0)
        return 1;
    if (!ahead && text[0] != '-')
        return 0;
    const char *at = sw_span_digits(text + 1, 2, &hours);
    if (at == NULL || *at != ':' || (at = sw_span_digits(at + 1, 2, &minutes)) == NULL || *at != '\0' ||
        hours > 14 || minutes > 59)
        return 0;
    *out = (ahead ? 1 : -1) * (hours * 3600 + minutes * 60);
    return 1;
}

static int read_time(sw_span field, int64_t *utc_s, int32_t *offset_s)
{
    char text[48];
    sw_civil civil;
    int timed;
    sw_span_copy(sw_span_trim(field), text, sizeof text);
    size_t length = strcspn(text, "Z+");
    char *dash = strrchr(text, '-');
    if (text[length] == '\0' && dash != NULL && dash - text > 10)
        length = (size_t)(dash - text);
    char clock[48];
    memcpy(clock, text, length);
    clock[length] = '\0';
    if (!read_offset(text + length, offset_s) || !sw_civil_parse(clock, &civil, &timed) || !timed ||
        civil.year < 1900 || civil.year > 2100)
        return 0;
    *utc_s = sw_days_from_civil(civil.year, civil.month, civil.day) * 86400 + civil.hour * 3600 +
             civil.minute * 60 + civil.second - *offset_s;
    return 1;
}

static void read_row(csv *c, sw_span line)
{
    sw_span rest = line, field;
    record_point point = {.line = c->r.line, .row = sw_record_empty_row};
    int32_t offset_s = 0;
    int which = 0;
    (void)sw_span_field(&rest, ',', &field);
    if (!read_time(field, &point.end_s, &offset_s)) {
        sw_record_bad_value(&c->r, line, field, "a time", TIME_EXAMPLE);
        return;
    }
    for (; which < c->columns && sw_span_field(&rest, ',', &field); which++)
        sw_record_value(&c->r, line, field, c->column, which, &point.row);
    if (which < c->columns || rest.at != NULL) {
        sw_where where = sw_record_here(&c->r, line.at, NULL);
        (void)sw_record_error(&c->r, &where, "empty where a value is missing",
                              "a row has as many values as there are columns, %d with the time",
                              c->columns + 1);
        return;
    }
    if (c->points.count == 0)
        c->offset_s = offset_s;
    (void)sw_record_point_add(&c->r, &c->points, &point);
}

static void read_rows(csv *c)
{
    sw_span line;
    while (c->r.errors < 25 && c->r.worst != SW_NO_MEMORY && sw_record_line(&c->r, &line)) {
        line = sw_span_trim(line);
        if (line.at < line.end && *line.at != '#')
            read_row(c, line);
    }
}

/* A typical year stands in 2001 and has all its hours. */
static void check_typical(csv *c)
{
    const sw_series *series = c->r.series;
    sw_where where = sw_record_here(&c->r, NULL, NULL);
    int whole = series->count == YEAR_ROWS && series->step_s == 3600 &&
                series->start_s + series->utc_offset_s == sw_days_from_civil(2001, 1, 1) * 86400;
    if (series->typical_year && !whole)
        (void)sw_record_error(&c->r, &where, "or leave \"# year: typical\" out",
                              "a typical year has the 8760 hours of 2001");
}

static void read_all(csv *c)
{
    sw_span line;
    int have_lat = 0, have_lon = 0, named = 0;
    while (!named && c->r.worst == SW_OK && sw_record_line(&c->r, &line)) {
        line = sw_span_trim(line);
        if (line.at < line.end && *line.at == '#')
            read_comment(c, line, &have_lat, &have_lon);
        else if (line.at < line.end)
            named = read_names(c, line) == SW_OK;
    }
    sw_where where = sw_record_here(&c->r, NULL, NULL);
    if (c->r.worst == SW_OK && (!named || !have_lat || !have_lon))
        (void)sw_record_error(
            &c->r, &where, "# latitude: 38.58",
            "the lines \"# latitude:\" and \"# longitude:\" and the line of column names are needed");
    if (c->r.worst == SW_OK)
        read_rows(c);
    if (sw_record_take_points(&c->r, &c->points) != SW_OK)
        return;
    sw_series *series = c->r.series;
    series->utc_offset_s = c->offset_s;
    series->start_s += c->begins ? series->step_s : 0;
    series->air_before_end_s = c->middle ? series->step_s / 2 : 0;
    check_typical(c);
}

sw_status sw_plain_csv_read(const char *text, size_t length, const char *name, sw_messages *messages,
                            sw_series **out)
{
    csv c = {.columns = 0};
    *out = NULL;
    if (sw_record_open(&c.r, text, length, name, messages) != SW_OK)
        return SW_NO_MEMORY;
    sw_record_place(&c.r, (sw_span){name, name + strlen(name)});
    read_all(&c);
    sw_record_points_free(&c.points);
    return sw_record_close(&c.r, out);
}

// ---- writing ----

static void add_number(sw_growing *out, double value, int decimals)
{
    char text[48];
    if (isnan(value))
        return;
    (void)sw_decimal_write(value, decimals, text, sizeof text);
    sw_growing_add(out, text);
}

static void write_head(const sw_series *series, sw_growing *out)
{
    sw_growing_add(out, MAGIC "\n# place: ");
    sw_growing_add(out, series->place);
    sw_growing_add(out, "\n# latitude: ");
    add_number(out, series->lat_deg, 5);
    sw_growing_add(out, "\n# longitude: ");
    add_number(out, series->lon_deg, 5);
    sw_growing_add(out, "\n# elevation: ");
    add_number(out, series->elevation_m, 2);
    sw_growing_add(out, " m\n");
    if (series->typical_year)
        sw_growing_add(out, "# year: typical\n");
    if (series->air_before_end_s > 0)
        sw_growing_add(out, "# air: middle\n");
}

static double value_of(const sw_weather_row *row, const plain_column *column)
{
    return *(const double *)(const void *)((const char *)row + column->as.offset);
}

static int given(const sw_series *series, const plain_column *column)
{
    for (int32_t i = 0; i < series->count; i++)
        if (!isnan(value_of(&series->row[i], column)))
            return 1;
    return 0;
}

static void write_time(const sw_series *series, int32_t index, sw_growing *out)
{
    char text[64];
    int year, month, day, minutes = abs((int)series->utc_offset_s) / 60;
    int64_t local_s = series->start_s + (int64_t)(index + 1) * series->step_s + series->utc_offset_s;
    int64_t days = sw_floor_div(local_s, 86400), second = local_s - days * 86400;
    sw_civil_from_days(days, &year, &month, &day);
    snprintf(text, sizeof text, "%04d-%02d-%02dT%02d:%02d%c%02d:%02d", year, month, day, (int)(second / 3600),
             (int)(second / 60 % 60), series->utc_offset_s < 0 ? '-' : '+', minutes / 60, minutes % 60);
    sw_growing_add(out, text);
}

sw_status sw_plain_csv_write(const sw_series *series, char **out)
{
    sw_growing text = {0};
    const plain_column *kept[COLUMNS];
    int columns = 0;
    write_head(series, &text);
    sw_growing_add(&text, "end");
    for (int i = 0; i < COLUMNS; i++) {
        if (!given(series, &plain_columns[i]))
            continue;
        kept[columns++] = &plain_columns[i];
        sw_growing_add(&text, ",");
        sw_growing_add(&text, plain_columns[i].as.name);
        sw_growing_add(&text, " [");
        sw_growing_add(&text, plain_columns[i].unit);
        sw_growing_add(&text, "]");
    }
    sw_growing_add(&text, "\n");
    for (int32_t row = 0; row < series->count; row++) {
        write_time(series, row, &text);
        for (int i = 0; i < columns; i++) {
            sw_growing_add(&text, ",");
            add_number(&text, value_of(&series->row[row], kept[i]), kept[i]->decimals);
        }
        sw_growing_add(&text, "\n");
    }
    return sw_growing_take(&text, out);
}
