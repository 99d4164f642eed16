// Reads EPW weather files. Layout, units and missing codes: the EnergyPlus EPW data dictionary [epw].
#include "weather/record.h"

#include <math.h>

#define LAST_COLUMN      34
#define LEAST_COLUMNS    22
#define HEADER_LINES_MAX 64

#define IN_ROW(member) offsetof(sw_weather_row, member)
static const record_column columns[] = {
    {NULL, 7, IN_ROW(air_c), 99.9, -90, 70, 1, 1, "air temperature", 0},
    {NULL, 9, IN_ROW(humidity_pct), 999, 0, 110, 1, 0, "relative humidity", 0},
    {NULL, 10, IN_ROW(pressure_pa), 999999, 31000, 120000, 1, 0, "air pressure", 0},
    {NULL, 14, IN_ROW(ghi_w_m2), 9999, 0, 2000, 1, 1, "global radiation", 0},
    {NULL, 15, IN_ROW(dni_w_m2), 9999, 0, 2000, 1, 1, "direct radiation", 0},
    {NULL, 16, IN_ROW(dhi_w_m2), 9999, 0, 2000, 1, 1, "diffuse radiation", 0},
    {NULL, 22, IN_ROW(wind_m_s), 999, 0, 100, 1, 0, "wind", 0},
    {NULL, 31, IN_ROW(snow_m), 999, 0, 998, 0.01, 0, "snow depth", 0},
    {NULL, 33, IN_ROW(albedo), 999, 0, 1, 1, 0, "albedo", 0},
    {NULL, 34, IN_ROW(rain_mm), 999, 0, 998, 1, 0, "rain", 0},
};
#define COLUMNS ((int)(sizeof columns / sizeof columns[0]))

static sw_status header_error(record *r, const char *what, const char *hint)
{
    sw_where where = sw_record_here(r, NULL, NULL);
    return sw_record_error(r, &where, hint, "%s", what);
}

static sw_status read_location(record *r)
{
    static const char hint[] =
        "LOCATION,city,state,country,source,WMO,latitude,longitude,time zone,elevation";
    sw_span line, rest, field = {NULL, NULL};
    if (!sw_record_line(r, &line) || !sw_span_begins(sw_span_trim(line), "LOCATION,"))
        return header_error(r, "this is not an EPW file: its first line does not begin with LOCATION",
                            "an EPW file begins with LOCATION,city,state,country,...");
    rest = line;
    for (int i = 1; i <= 6 && sw_span_field(&rest, ',', &field); i++)
        if (i == 2)
            sw_record_place(r, field);
    if (r->series->place == NULL)
        sw_record_place(r, (sw_span){line.end, line.end});
    double hours = 0;
    sw_record_place_number(r, line, &rest, "latitude", -90, 90, hint, &r->series->lat_deg);
    sw_record_place_number(r, line, &rest, "longitude", -180, 180, hint, &r->series->lon_deg);
    sw_record_place_number(r, line, &rest, "time zone", -14, 14, hint, &hours);
    sw_record_place_number(r, line, &rest, "elevation", -1000, 9999, hint, &r->series->elevation_m);
    r->series->utc_offset_s = (int32_t)lround(hours * 3600);
    return r->worst;
}

/* DATA PERIODS,number of periods,records per hour,...: the last line of the header. */
static sw_status read_header(record *r)
{
    if (read_location(r) != SW_OK)
        return r->worst;
    sw_span line;
    do {
        if (r->line >= HEADER_LINES_MAX || !sw_record_line(r, &line))
            return header_error(r, "the header has no line that begins with DATA PERIODS",
                                "the eighth line of an EPW file is DATA PERIODS,1,1,Data,Sunday,1/1,12/31");
    } while (!sw_span_begins(sw_span_trim(line), "DATA PERIODS"));
    sw_span rest = line, field;
    double number[3] = {0, 0, 0};
    for (int i = 0; i < 3 && sw_span_field(&rest, ',', &field); i++)
        (void)sw_span_number(field, &number[i]);
    if (number[1] != 1 || number[2] != 1)
        return header_error(r, "only files with one period and one record an hour are read",
                            "DATA PERIODS,1,1,Data,Sunday,1/1,12/31");
    return SW_OK;
}

static void read_row(record *r, sw_span line, const void *format, double date[5], sw_weather_row *row)
{
    (void)format;
    sw_span rest = line, field;
    int which = 0, number = 1;
    for (; number <= LAST_COLUMN && sw_span_field(&rest, ',', &field); number++) {
        if (number <= 4 && (!sw_span_number(field, &date[number]) || fabs(date[number]) > 9999))
            sw_record_bad_value(r, line, field, "a date's number", "year,month,day,hour,minute,flags,...");
        if (which < COLUMNS && columns[which].number == number)
            sw_record_value(r, line, field, columns, which++, row);
    }
    if (number <= LEAST_COLUMNS) {
        sw_where where = sw_record_here(r, line.at, NULL);
        (void)sw_record_error(r, &where, "a row has 35 values", "this row has only %d values", number - 1);
    }
}

sw_status sw_epw_read(const char *text, size_t length, const char *name, sw_messages *messages,
                      sw_series **out)
{
    record r;
    *out = NULL;
    if (sw_record_open(&r, text, length, name, messages) != SW_OK)
        return SW_NO_MEMORY;
    if (read_header(&r) == SW_OK && sw_record_year(&r, read_row, NULL) == SW_OK)
        sw_record_warn_of_left_out(&r, columns, COLUMNS);
    return sw_record_close(&r, out);
}
