// Reads the JSON answers of two open hourly services: a reanalysis one, whose values stand under their times
// by name [power-hourly], and a historical and forecast one, whose values stand in lists beside a list of
// times [open-meteo].
#include "weather/record.h"

#include "stillwatt/civil.h"
#include "stillwatt/document.h"
#include "stillwatt/quantity.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#define HOUR_S 3600

#define IN_ROW(member) offsetof(sw_weather_row, member)

/* A quantity as a service names it; `unit` is the one that is read, others of the dimension too. */
typedef struct variable {
    const char *name;
    size_t offset;
    double low, high;
    sw_dimension dimension;
    const char *units[3];
    int needed;
    const char *says;
} variable;

static const variable reanalysis[] = {
    {"ALLSKY_SFC_SW_DWN", IN_ROW(ghi_w_m2), 0, 2000, SW_DIM_NONE, {"Wh/m^2", "W/m^2"}, 1, "global radiation"},
    {"ALLSKY_SFC_SW_DNI", IN_ROW(dni_w_m2), 0, 2000, SW_DIM_NONE, {"Wh/m^2", "W/m^2"}, 0, "direct radiation"},
    {"ALLSKY_SFC_SW_DIFF",
     IN_ROW(dhi_w_m2),
     0,
     2000,
     SW_DIM_NONE,
     {"Wh/m^2", "W/m^2"},
     0,
     "diffuse radiation"},
    {"T2M", IN_ROW(air_c), -90, 70, SW_DIM_TEMPERATURE, {"C"}, 1, "air temperature"},
    {"WS10M", IN_ROW(wind_m_s), 0, 100, SW_DIM_SPEED, {"m/s"}, 0, "wind"},
    {"PRECTOTCORR", IN_ROW(rain_mm), 0, 998, SW_DIM_NONE, {"mm/hour", "mm"}, 0, "rain"},
    {NULL, 0, 0, 0, SW_DIM_NONE, {NULL}, 0, NULL},
};

static const variable beside[] = {
    {"shortwave_radiation", IN_ROW(ghi_w_m2), 0, 2000, SW_DIM_NONE, {"W/m²", "W/m2"}, 1, "global radiation"},
    {"direct_normal_irradiance",
     IN_ROW(dni_w_m2),
     0,
     2000,
     SW_DIM_NONE,
     {"W/m²", "W/m2"},
     0,
     "direct radiation"},
    {"diffuse_radiation", IN_ROW(dhi_w_m2), 0, 2000, SW_DIM_NONE, {"W/m²", "W/m2"}, 0, "diffuse radiation"},
    {"temperature_2m", IN_ROW(air_c), -90, 70, SW_DIM_TEMPERATURE, {"°C", "C"}, 1, "air temperature"},
    {"wind_speed_10m", IN_ROW(wind_m_s), 0, 100, SW_DIM_SPEED, {"m/s"}, 0, "wind"},
    {"relative_humidity_2m", IN_ROW(humidity_pct), 0, 110, SW_DIM_NONE, {"%"}, 0, "relative humidity"},
    {"snow_depth", IN_ROW(snow_m), 0, 20, SW_DIM_LENGTH, {"m"}, 0, "snow depth"},
    {"precipitation", IN_ROW(rain_mm), 0, 998, SW_DIM_NONE, {"mm"}, 0, "rain"},
    {NULL, 0, 0, 0, SW_DIM_NONE, {NULL}, 0, NULL},
};

/* One value with its time; values of one time become a row. */
typedef struct reading {
    int64_t end_s;
    const variable *of;
    double value;
    const sw_node *node;
} reading;

typedef struct answer {
    record r;
    sw_document *document;
    reading *reading; // owned
    size_t count, room;
    double fill;
} answer;

static void error_at(answer *a, const sw_node *node, const char *hint, const char *what)
{
    a->r.errors++;
    sw_record_failed(&a->r, sw_node_error(a->r.errors > RECORD_ERRORS_LISTED ? NULL : a->r.messages, node, 0,
                                          hint, "%s", what));
}

static int line_of(const answer *a, const sw_node *node)
{
    int line, column;
    sw_document_position(a->document, node->offset, &line, &column);
    return line;
}

// ---- place ----

static const sw_node *number_of(const sw_node *object, const char *key)
{
    const sw_node *node = sw_node_member(object, key);
    return node != NULL && node->type == SW_JSON_NUMBER ? node : NULL;
}

static void take_place(answer *a, const sw_node *lat, const sw_node *lon, const sw_node *height)
{
    sw_series *series = a->r.series;
    char name[64];
    if (lat == NULL || lon == NULL || !(fabs(lat->number) <= 90) || !(fabs(lon->number) <= 180)) {
        error_at(a, sw_document_root(a->document), NULL, "the answer does not say where it is of");
        return;
    }
    series->lat_deg = lat->number;
    series->lon_deg = lon->number;
    series->elevation_m = height != NULL ? fmin(9000, fmax(-500, height->number)) : 0;
    int length = snprintf(name, sizeof name, "%.2f, %.2f", lat->number, lon->number);
    sw_record_place(&a->r, (sw_span){name, name + length});
}

// ---- units ----

static int is_one_of(const char *word, const char *const units[3])
{
    for (int i = 0; i < 3 && units[i] != NULL; i++)
        if (strcmp(word, units[i]) == 0)
            return 1;
    return 0;
}

/* Straight line from the answer's unit to the one held. @return 0 after an error */
static int line_of_unit(answer *a, const variable *of, const sw_node *unit, double *scale, double *zero)
{
    char text[48];
    *scale = 1.0;
    *zero = 0.0;
    if (unit == NULL && of->dimension == SW_DIM_SPEED) {
        error_at(a, sw_document_root(a->document), "ask for m/s",
                 "the answer does not say in what unit its wind is");
        return 0;
    }
    if (unit == NULL || unit->type != SW_JSON_STRING || is_one_of(unit->text, of->units))
        return 1;
    const char *word = strcmp(unit->text, "mp/h") == 0 ? "mph" : unit->text; // as one service writes it
    if (of->dimension != SW_DIM_NONE && sw_quantity_line(word, of->dimension, scale, zero))
        return 1;
    snprintf(text, sizeof text, "%s must be in %s", of->says, of->units[0]);
    error_at(a, unit, NULL, text);
    return 0;
}

// ---- values ----

/* Null and the fill value are missing. */
static void take_value(answer *a, const variable *of, const sw_node *node, int64_t end_s, double scale,
                       double zero)
{
    char text[96];
    if (node->type == SW_JSON_NULL ||
        (node->type == SW_JSON_NUMBER && (node->number == a->fill || node->number <= RECORD_CODE_BELOW)))
        return;
    double value = node->type == SW_JSON_NUMBER ? node->number * scale + zero : NAN;
    value = sw_record_settled(of->offset, value);
    if (!(value >= of->low && value <= of->high)) {
        snprintf(text, sizeof text, "%s must be a number from %g to %g", of->says, of->low, of->high);
        error_at(a, node, NULL, text);
        return;
    }
    if (a->count == a->room) {
        size_t room = a->room > 0 ? 2 * a->room : 4096;
        reading *grown = realloc(a->reading, room * sizeof *grown);
        if (grown == NULL) {
            sw_record_failed(&a->r, SW_NO_MEMORY);
            return;
        }
        a->reading = grown;
        a->room = room;
    }
    a->reading[a->count++] = (reading){end_s, of, value, node};
}

static int by_time(const void *one, const void *other)
{
    const reading *x = one, *y = other;
    if (x->end_s != y->end_s)
        return (x->end_s > y->end_s) - (x->end_s < y->end_s);
    return (x->of > y->of) - (x->of < y->of);
}

static void take_rows(answer *a)
{
    record_points points = {0};
    qsort(a->reading, a->count, sizeof *a->reading, by_time);
    for (size_t i = 1; i < a->count; i++)
        if (a->reading[i].end_s == a->reading[i - 1].end_s && a->reading[i].of == a->reading[i - 1].of)
            error_at(a, a->reading[i].node, NULL, "this time is given twice");
    for (size_t i = 0; i < a->count && a->r.worst == SW_OK;) {
        record_point point = {.end_s = a->reading[i].end_s, .row = sw_record_empty_row};
        point.line = line_of(a, a->reading[i].node);
        for (; i < a->count && a->reading[i].end_s == point.end_s; i++)
            *(double *)((char *)&point.row + a->reading[i].of->offset) = a->reading[i].value;
        (void)sw_record_point_add(&a->r, &points, &point);
    }
    (void)sw_record_take_points(&a->r, &points);
    sw_record_points_free(&points);
}

static void needs(answer *a, const sw_node *where, const variable *of)
{
    char text[96];
    snprintf(text, sizeof text, "the answer has no \"%s\" (%s)", of->name, of->says);
    error_at(a, where, "ask for it", text);
}

// ---- the reanalysis service ----

/* YYYYMMDDHH */
static int read_stamp(const char *text, int64_t *begin_s)
{
    int year, month, day, hour;
    const char *at = sw_span_digits(text, 4, &year);
    at = sw_span_digits(at, 2, &month);
    at = sw_span_digits(at, 2, &day);
    at = sw_span_digits(at, 2, &hour);
    if (at == NULL || *at != '\0' || year < 1900 || year > 2100 || month < 1 || month > 12 || day < 1 ||
        day > sw_days_in_month(year, month) || hour > 23)
        return 0;
    *begin_s = sw_days_from_civil(year, month, day) * 86400 + hour * HOUR_S;
    return 1;
}

/* Local solar time here is UTC moved by whole hours, fifteen degrees each. */
static int64_t clock_offset_s(const answer *a, const sw_node *header)
{
    const sw_node *standard = sw_node_member(header, "time_standard");
    int utc = standard != NULL && standard->type == SW_JSON_STRING && strcmp(standard->text, "UTC") == 0;
    return utc ? 0 : lround(a->r.series->lon_deg / 15.0) * HOUR_S;
}

static void read_reanalysis(answer *a, const sw_node *root, const sw_node *parameter)
{
    const sw_node *header = sw_node_member(root, "header"), *units = sw_node_member(root, "parameters");
    const sw_node *at = sw_node_member(sw_node_member(root, "geometry"), "coordinates");
    const sw_node *fill = number_of(header, "fill_value");
    const sw_node *lon = at != NULL ? at->first : NULL, *lat = lon != NULL ? lon->next : NULL;
    if (lat != NULL && (lon->type != SW_JSON_NUMBER || lat->type != SW_JSON_NUMBER))
        lat = lon = NULL;
    take_place(a, lat, lon, lat != NULL ? lat->next : NULL);
    a->fill = fill != NULL ? fill->number : -999.0;
    int64_t offset_s = clock_offset_s(a, header);
    for (const variable *of = reanalysis; of->name != NULL; of++) {
        const sw_node *values = sw_node_member(parameter, of->name);
        double scale, zero;
        if (values == NULL && of->needed)
            needs(a, parameter, of);
        if (values == NULL ||
            !line_of_unit(a, of, sw_node_member(sw_node_member(units, of->name), "units"), &scale, &zero))
            continue;
        for (const sw_node *value = values->first; value != NULL && a->r.worst == SW_OK;
             value = value->next) {
            int64_t begin_s;
            if (value->key == NULL || !read_stamp(value->key, &begin_s))
                error_at(a, value, "YYYYMMDDHH, as 2024010100", "this is not a time");
            else // labels are taken to begin the hour; the timing is looked at by the sun
                take_value(a, of, value, begin_s - offset_s + HOUR_S, scale, zero);
        }
    }
    a->r.series->air_before_end_s = HOUR_S / 2; // hourly means
    a->r.series->utc_offset_s = (int32_t)offset_s;
}

// ---- the historical and forecast service ----

static int read_time(const sw_node *node, int64_t offset_s, int64_t *utc_s)
{
    sw_civil civil;
    int timed;
    if (node->type == SW_JSON_NUMBER && node->number >= -2208988800.0 && node->number < 4133980800.0) {
        *utc_s = (int64_t)node->number; // seconds of 1900 to 2100, always UTC
        return 1;
    }
    if (node->type != SW_JSON_STRING || !sw_civil_parse(node->text, &civil, &timed) || !timed ||
        civil.year < 1900 || civil.year > 2100)
        return 0;
    *utc_s = sw_days_from_civil(civil.year, civil.month, civil.day) * 86400 + civil.hour * 3600 +
             civil.minute * 60 + civil.second - offset_s;
    return 1;
}

static void read_beside(answer *a, const sw_node *root, const sw_node *hourly)
{
    const sw_node *times = sw_node_member(hourly, "time"), *units = sw_node_member(root, "hourly_units");
    const sw_node *offset = number_of(root, "utc_offset_seconds");
    take_place(a, number_of(root, "latitude"), number_of(root, "longitude"), number_of(root, "elevation"));
    int64_t offset_s = offset != NULL && fabs(offset->number) <= 15 * HOUR_S ? (int64_t)offset->number : 0;
    const sw_node *zone = sw_node_member(root, "timezone");
    if (zone != NULL && zone->type == SW_JSON_STRING && strcmp(zone->text, "GMT") != 0 &&
        strcmp(zone->text, "UTC") != 0)
        sw_node_warn(a->r.messages, zone, "ask for GMT",
                     "hours of the zone %.40s may stand twice or not at all where its "
                     "clocks change",
                     zone->text);
    a->fill = NAN;
    if (times == NULL || times->type != SW_JSON_ARRAY) {
        error_at(a, hourly, NULL, "the answer has no list \"time\"");
        return;
    }
    for (const variable *of = beside; of->name != NULL; of++) {
        const sw_node *values = sw_node_member(hourly, of->name);
        double scale, zero;
        if (values == NULL && of->needed)
            needs(a, hourly, of);
        if (values == NULL || !line_of_unit(a, of, sw_node_member(units, of->name), &scale, &zero))
            continue;
        if (values->type != SW_JSON_ARRAY) {
            error_at(a, values, NULL, "a list of values is expected here");
            continue;
        }
        const sw_node *value = values->first, *time = times->first;
        for (; value != NULL && time != NULL && a->r.worst == SW_OK; value = value->next, time = time->next) {
            int64_t end_s;
            if (!read_time(time, offset_s, &end_s))
                error_at(a, time, "as \"2026-11-06T14:00\"", "this is not a time");
            else
                take_value(a, of, value, end_s, scale, zero);
        }
        if ((value == NULL) != (time == NULL))
            error_at(a, values, NULL, "this list is not as long as that of the times");
    }
    a->r.series->utc_offset_s = (int32_t)offset_s;
}

// ---- any ----

static void read_root(answer *a, const sw_node *root)
{
    const sw_node *parameter = sw_node_member(sw_node_member(root, "properties"), "parameter");
    const sw_node *hourly = sw_node_member(root, "hourly"), *reason = sw_node_member(root, "reason");
    if (reason != NULL && reason->type == SW_JSON_STRING)
        sw_record_failed(&a->r, sw_node_error(a->r.messages, reason, 0, NULL, "the service answered: %.120s",
                                              reason->text));
    else if (parameter != NULL)
        read_reanalysis(a, root, parameter);
    else if (hourly != NULL)
        read_beside(a, root, hourly);
    else if (root->type == SW_JSON_ARRAY)
        error_at(a, root, "ask for one place at a time", "this answer is a list of several");
    else
        error_at(a, root, "an answer has \"properties\" with \"parameter\", or \"hourly\"",
                 "this is not an answer of a weather service that is known");
}

sw_status sw_answer_read(const char *text, size_t length, const char *name, sw_messages *messages,
                         sw_series **out)
{
    answer a = {.document = NULL};
    *out = NULL;
    if (sw_record_open(&a.r, text, length, name, messages) != SW_OK)
        return SW_NO_MEMORY;
    sw_record_failed(&a.r, sw_document_read(text, length, name, messages, &a.document));
    if (a.r.worst == SW_OK) {
        read_root(&a, sw_document_root(a.document));
        if (a.r.worst == SW_OK)
            take_rows(&a);
    }
    free(a.reading);
    sw_document_free(a.document);
    return sw_record_close(&a.r, out);
}
