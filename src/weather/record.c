// A weather file while it is read: its lines, what is said about them, and values by column.
#include "weather/record.h"
#include "weather/gaps.h"
#include "weather/timing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#define LEAST_LIGHT (-20) /* instruments go a little below 0 at night */

const sw_weather_row sw_record_empty_row = {NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN, NAN};

sw_status sw_record_open(record *r, const char *text, size_t length, const char *name, sw_messages *messages)
{
    *r = (record){.rest = {text, text + length}, .name = name, .messages = messages};
    if (length >= 3 && memcmp(text, "\xEF\xBB\xBF", 3) == 0)
        r->rest.at += 3;
    r->series = calloc(1, sizeof *r->series);
    return r->series != NULL ? SW_OK : SW_NO_MEMORY;
}

/* An albedo of 0 is what formats write where they have none. */
static void drop_dark_ground(sw_series *series)
{
    for (int32_t i = 0; i < series->count; i++)
        if (series->row[i].albedo <= 0)
            series->row[i].albedo = NAN;
}

sw_status sw_record_close(record *r, sw_series **out)
{
    if (r->worst == SW_OK)
        drop_dark_ground(r->series);
    if (r->worst == SW_OK)
        sw_record_failed(r, sw_gaps_fill(r->series, r->name, r->messages));
    if (r->worst == SW_OK)
        sw_timing_look(r->series, r->name, r->messages);
    if (r->worst != SW_OK) {
        sw_series_free(r->series);
        r->series = NULL;
    }
    *out = r->series;
    return r->worst;
}

// ---- lines and complaints ----

int sw_record_line(record *r, sw_span *line)
{
    int found = sw_span_line(&r->rest, line);
    r->line += (found || r->line == 0) && r->line < INT32_MAX;
    return found;
}

sw_where sw_record_here(const record *r, const char *line, const char *at)
{
    int column = at != NULL && at - line < INT32_MAX ? (int)(at - line) + 1 : 0;
    return (sw_where){r->name, r->line, column, NULL};
}

void sw_record_failed(record *r, sw_status status)
{
    if (r->worst != SW_NO_MEMORY && status != SW_OK)
        r->worst = status;
}

sw_status sw_record_error(record *r, const sw_where *where, const char *hint, const char *what, ...)
{
    va_list arguments;
    r->errors++;
    if (r->errors == RECORD_ERRORS_LISTED + 1) {
        sw_where here = {r->name, r->line, 0, NULL};
        sw_record_failed(
            r, sw_error(r->messages, SW_BAD_INPUT, &here, NULL, "errors from here on are not listed"));
    }
    va_start(arguments, what);
    sw_record_failed(r, sw_messages_add(r->errors > RECORD_ERRORS_LISTED ? NULL : r->messages, SW_ERROR,
                                        SW_BAD_INPUT, where, hint, what, arguments));
    va_end(arguments);
    return r->worst;
}

void sw_record_bad_value(record *r, sw_span line, sw_span field, const char *says, const char *expected)
{
    char text[32];
    sw_span_copy(sw_span_trim(field), text, sizeof text);
    sw_where where = sw_record_here(r, line.at, field.at);
    (void)sw_record_error(r, &where, expected, "%s cannot be \"%s\"", says, text);
}

// ---- header ----

void sw_record_place_number(record *r, sw_span line, sw_span *rest, const char *says, double low, double high,
                            const char *hint, double *out)
{
    sw_span field = {line.end, line.end};
    (void)sw_span_field(rest, ',', &field);
    if (sw_span_number(field, out) && *out >= low && *out <= high)
        return;
    char text[32];
    sw_span_copy(sw_span_trim(field), text, sizeof text);
    sw_where where = sw_record_here(r, line.at, field.at);
    (void)sw_record_error(r, &where, hint, "the %s must be a number from %g to %g, not \"%s\"", says, low,
                          high, text);
}

void sw_record_place(record *r, sw_span name)
{
    char text[128];
    sw_span_copy(sw_span_trim(name), text, sizeof text);
    free(r->series->place);
    r->series->place = strdup(text);
    if (r->series->place == NULL)
        sw_record_failed(r, SW_NO_MEMORY);
}

// ---- values ----

double sw_record_settled(size_t offset, double value)
{
    int light = offset < offsetof(sw_weather_row, air_c);
    return light && value < 0 && value >= LEAST_LIGHT ? 0 : value;
}

void sw_record_value(record *r, sw_span line, sw_span field, const record_column *columns, int which,
                     sw_weather_row *row)
{
    const record_column *column = &columns[which];
    double *out = (double *)((char *)row + column->offset), value;
    field = sw_span_trim(field);
    if (field.at == field.end)
        return;
    if (!sw_span_number(field, &value)) {
        sw_record_bad_value(r, line, field, column->says, "a plain number with a decimal point");
        return;
    }
    if (value >= column->missing || value <= RECORD_CODE_BELOW)
        return;
    value = sw_record_settled(column->offset, value);
    if (value >= column->low && value <= column->high) {
        *out = value * column->scale + column->zero;
    } else if (column->needed) {
        sw_record_bad_value(r, line, field, column->says,
                            "a value that can be, or the format's code for a missing one");
    } else if (r->left_out[which]++ == 0) {
        r->left_out_line[which] = r->line;
    }
}

void sw_record_warn_of_left_out(const record *r, const record_column *columns, int count)
{
    for (int i = 0; i < count; i++) {
        sw_where where = {r->name, r->left_out_line[i], 0, NULL};
        if (r->left_out[i] > 0)
            sw_warn(r->messages, &where, NULL,
                    "%s is outside %g to %g in %d rows, the first of them here; left out", columns[i].says,
                    columns[i].low, columns[i].high, (int)r->left_out[i]);
    }
}
