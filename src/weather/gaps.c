// Filling of short gaps in a record: straight lines between the rows around them.
#include "weather/gaps.h"

#include <math.h>
#include <stddef.h>

typedef struct quantity {
    size_t offset;
    const char *says;
} quantity;

static const quantity needed[] = {
    {offsetof(sw_weather_row, ghi_w_m2), "global radiation"},
    {offsetof(sw_weather_row, dni_w_m2), "direct radiation"},
    {offsetof(sw_weather_row, dhi_w_m2), "diffuse radiation"},
    {offsetof(sw_weather_row, air_c), "air temperature"},
};

static double *value_at(sw_series *series, const quantity *of, int32_t index)
{
    return (double *)((char *)&series->row[index] + of->offset);
}

static int missing(sw_series *series, const quantity *of, int32_t index)
{
    return index >= 0 && isnan(*value_at(series, of, index));
}

/* Month, day and hour (1..24) of a row, the year having 29 February if it has the rows for it. */
static void name_row(const sw_series *series, int32_t index, int *month, int *day, int *hour)
{
    int length[] = {31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    length[1] += series->count == 8784;
    *hour = index % 24 + 1;
    *day = index / 24 + 1;
    for (*month = 1; *day > length[*month - 1]; ++*month)
        *day -= length[*month - 1];
}

static int32_t gap_rows(sw_series *series, const quantity *of, int32_t first)
{
    int32_t rows = 0;
    for (int32_t i = first; i >= 0 && missing(series, of, i) && rows < series->count;
         i = sw_series_next(series, i))
        rows++;
    return rows;
}

static void fill(sw_series *series, const quantity *of, int32_t first, int32_t rows)
{
    int32_t before = sw_series_previous(series, first), after = first;
    for (int32_t k = 0; k < rows; k++)
        after = sw_series_next(series, after);
    double a = *value_at(series, of, before >= 0 ? before : after);
    double b = *value_at(series, of, after >= 0 ? after : before);
    for (int32_t k = 1, i = first; k <= rows; k++, i = sw_series_next(series, i))
        *value_at(series, of, i) = a + (b - a) * k / (rows + 1);
}

static sw_status too_long(const sw_series *series, const quantity *of, int32_t first, int32_t rows,
                          const sw_where *where, sw_messages *messages)
{
    int month, day, hour;
    name_row(series, first, &month, &day, &hour);
    return sw_error(
        messages, SW_BAD_INPUT, where, "use another file, or fill the gap with values of a day alike",
        "%s is missing in %d rows in a row from month %d day %d hour %d; at most %d can be filled", of->says,
        (int)rows, month, day, hour, SW_GAP_MAX_ROWS);
}

static sw_status fill_quantity(sw_series *series, const quantity *of, const char *name, int first_line,
                               sw_messages *messages)
{
    sw_status status = SW_OK;
    int32_t filled = 0;
    sw_where where = {name, 0, 0, NULL};
    if (gap_rows(series, of, 0) == series->count) {
        where.line = first_line;
        return sw_error(messages, SW_BAD_INPUT, &where, "use a file that has it",
                        "%s is missing in every row", of->says);
    }
    for (int32_t i = 0; i < series->count; i++) {
        if (!missing(series, of, i) || missing(series, of, sw_series_previous(series, i)))
            continue;
        int32_t rows = gap_rows(series, of, i);
        if (rows > SW_GAP_MAX_ROWS) {
            sw_where here = {name, first_line + i, 0, NULL};
            status = too_long(series, of, i, rows, &here, messages);
            continue;
        }
        where.line = filled == 0 ? first_line + i : where.line;
        filled += rows;
        fill(series, of, i, rows);
    }
    if (filled > 0)
        sw_warn(messages, &where, NULL,
                "%s was missing in %d rows, the first of them here; filled from the rows around", of->says,
                (int)filled);
    return status;
}

sw_status sw_gaps_fill(sw_series *series, const char *name, int first_line, sw_messages *messages)
{
    sw_status worst = SW_OK;
    for (size_t i = 0; i < sizeof needed / sizeof needed[0]; i++) {
        sw_status status = fill_quantity(series, &needed[i], name, first_line, messages);
        worst = status != SW_OK ? status : worst;
    }
    return worst;
}
