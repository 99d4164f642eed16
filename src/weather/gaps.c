// Filling of short gaps in a record: straight lines between the rows around them.
#include "weather/gaps.h"

#include <math.h>
#include <stddef.h>

#define LONGEST_S (3 * 3600)

typedef struct quantity {
    size_t offset;
    int needed;
    const char *says;
} quantity;

static const quantity quantities[] = {
    {offsetof(sw_weather_row, ghi_w_m2), 1, "global radiation"},
    {offsetof(sw_weather_row, dni_w_m2), 0, "direct radiation"},
    {offsetof(sw_weather_row, dhi_w_m2), 0, "diffuse radiation"},
    {offsetof(sw_weather_row, air_c), 1, "air temperature"},
};

static double *value_at(sw_series *series, const quantity *of, int32_t index)
{
    return (double *)((char *)&series->row[index] + of->offset);
}

static int missing(sw_series *series, const quantity *of, int32_t index)
{
    return index >= 0 && isnan(*value_at(series, of, index));
}

static int32_t gap_rows(sw_series *series, const quantity *of, int32_t first)
{
    int32_t rows = 0;
    for (int32_t i = first; i >= 0 && missing(series, of, i) && rows < series->count;
         i = sw_series_next(series, i))
        rows++;
    return rows;
}

/* A gap at the beginning or the end of a record has nothing on its other side. */
static int is_between(const sw_series *series, int32_t first, int32_t rows)
{
    return series->typical_year || (first > 0 && first + rows < series->count);
}

static void fill(sw_series *series, const quantity *of, int32_t first, int32_t rows)
{
    int32_t before = sw_series_previous(series, first), after = first;
    for (int32_t k = 0; k < rows; k++)
        after = sw_series_next(series, after);
    double a = *value_at(series, of, before), b = *value_at(series, of, after);
    for (int32_t k = 1, i = first; k <= rows; k++, i = sw_series_next(series, i))
        *value_at(series, of, i) = a + (b - a) * k / (rows + 1);
}

/* A gap that is too long stays, and is nobody's concern until hours in it are asked for. */
static void fill_quantity(sw_series *series, const quantity *of, const char *name, sw_messages *messages)
{
    int32_t filled = 0, at = 0, most = LONGEST_S / series->step_s, rows;
    for (int32_t i = 0; i < series->count; i += rows) {
        rows = 1;
        if (!missing(series, of, i) || missing(series, of, sw_series_previous(series, i)))
            continue;
        rows = gap_rows(series, of, i);
        if (rows <= most && is_between(series, i, rows)) {
            at = filled == 0 ? i : at;
            filled += rows;
            fill(series, of, i, rows);
        }
    }
    if (filled == 0)
        return;
    sw_where where = {name, 0, 0, NULL};
    char label[64];
    sw_series_label(series, at, label, sizeof label);
    sw_warn(messages, &where, NULL, "%s was missing in %d rows, the first of %s; filled from the rows around",
            of->says, (int)filled, label);
}

sw_status sw_gaps_fill(sw_series *series, const char *name, sw_messages *messages)
{
    sw_status worst = SW_OK;
    for (size_t i = 0; i < sizeof quantities / sizeof quantities[0]; i++) {
        const quantity *of = &quantities[i];
        sw_where where = {name, 0, 0, NULL};
        if (gap_rows(series, of, 0) < series->count)
            fill_quantity(series, of, name, messages);
        else if (of->needed)
            worst = sw_error(messages, SW_BAD_INPUT, &where, "use a file that has it",
                             "%s is missing in every row", of->says);
    }
    return worst;
}
